"""Dependency graphs, read and laid out by Graphviz (`dot` of Debian's graphviz).

Reads packets as timeline.py does. Graphviz must take every file without a word, and
find the nodes and edges that the packet's own view has.
"""

import json
import re
import subprocess

import packets

READABLE = 200


def dot(text, form):
    ran = subprocess.run(["dot", f"-T{form}"], input=text.encode(), capture_output=True, timeout=300)
    assert ran.returncode == 0 and not ran.stderr, ran.stderr.decode()
    return ran.stdout.decode()


def shown(text):
    """Nodes by number with their paths, and edges, as Graphviz has read them."""
    read = json.loads(dot(text, "dot_json"))
    assert read["directed"] and not read["strict"]
    objects = read.get("objects", [])
    nodes = {thing["_gvid"]: thing for thing in objects if "nodes" not in thing and thing["name"].startswith("n")}
    numbers = {identity: int(node["name"][1:]) for identity, node in nodes.items()}
    edges = {(numbers[edge["tail"]], numbers[edge["head"]]): edge.get("style") for edge in read.get("edges", [])}
    assert len(edges) == len(read.get("edges", []))
    return {numbers[identity]: node for identity, node in nodes.items()}, edges


def words(label):
    """A label as read, in words: escapes of quotes and lines undone, `&` by its name."""
    undone = re.sub(r"\\(.)", lambda escaped: " " if escaped[1] == "n" else escaped[1], label)
    return undone.replace("&amp;", "&").split()


def check(text, graph, beat):
    nodes, edges = shown(text)
    told = graph["nodes"]
    wanted = {(edge["from"], edge["to"]): "dashed" if edge["shoot_only"] else None for edge in graph["edges"]}
    if beat is not None:
        own = {number for number, node in enumerate(told) if node["beat"] == beat}
        wanted = {pair: style for pair, style in wanted.items() if own & set(pair)}
        assert set(nodes) == own.union(*wanted)
    else:
        assert set(nodes) == set(range(len(told)))
    assert edges == wanted
    for number, node in nodes.items():
        assert words(node["tooltip"]) == words(told[number]["path"])
        label = [word for word in words(node["label"]) if word != "…"]
        # A word longer than a line is parted; a title longer than four lines is cut.
        kept = "".join("\ufffd" if ord(letter) < 32 or 127 <= ord(letter) < 160 else letter for letter in "".join(told[number]["title"].split()))
        assert kept.startswith("".join(label)) and (label or not kept), (label, kept)
    if len(nodes) <= READABLE:
        assert "<svg" in dot(text, "svg")
    return len(nodes)


def packet(name, documents):
    graph = json.loads(documents["packet.json"])["graph"]
    files = {path: text for path, text in documents.items() if path.endswith(".dot")}
    nodes = check(files.pop("graph.dot"), graph, None)
    parts = {beat["file"] + ".dot": beat["path"] for beat in graph["beats"]} if nodes > READABLE else {}
    assert set(files) == set(parts)
    for path, text in files.items():
        check(text, graph, parts[path])
    return {"name": name, "nodes": nodes, "edges": len(graph["edges"]), "parts": len(parts)}


packets.each(lambda one: packet(one["name"], one["documents"]))
