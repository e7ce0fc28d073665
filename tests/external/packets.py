"""What every reader of packets does alike: one at a time, each named when it fails."""
import json
import sys


def each(check):
    """Gives what `check` says of every packet on standard input."""
    compared = []
    for one in json.load(sys.stdin):
        try:
            compared.append(check(one))
        except Exception as error:
            raise RuntimeError(f"packet {one['name']}") from error
    json.dump(compared, sys.stdout)
