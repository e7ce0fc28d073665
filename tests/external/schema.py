"""Packets against their own JSON Schema, by jsonschema (draft 2020-12).

Reads packets as timeline.py does. The schema must be one, accept its packet, and
reject the packet with anything of it broken; every key that stands for something
shared must have it.
"""

import copy
import json
import random

import jsonschema

import packets

BROKEN = 40


def kinds(schema):
    """Names of the definitions that are keys, with the place that they point into."""
    found = {}
    for name, definition in schema["$defs"].items():
        if name.endswith("Key") and "`shared." in definition["description"]:
            found[name] = definition["description"].split("`shared.")[1].split("`")[0]
    return found


def keys(value, schema, definitions, places):
    """Every key of something shared in a value, with its place."""
    if "anyOf" in schema and value is not None:
        schema = next(one for one in schema["anyOf"] if "$ref" in one)
    if "$ref" in schema:
        name = schema["$ref"].removeprefix("#/$defs/")
        if name in places:
            yield places[name], value
        schema = definitions[name]
    if isinstance(value, dict):
        for key, inside in value.items():
            below = schema.get("properties", {}).get(key, schema.get("additionalProperties"))
            if isinstance(below, dict):
                yield from keys(inside, below, definitions, places)
    elif isinstance(value, list) and "items" in schema:
        for inside in value:
            yield from keys(inside, schema["items"], definitions, places)


def spots(value, path=()):
    """Every place in a packet but the keys under `shared`, which may be any."""
    yield path
    inside = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, below in inside:
        yield from spots(below, (*path, key))


def broken(packet, path, chance):
    """A copy with one thing wrong."""
    wrong = copy.deepcopy(packet)
    holder = wrong
    for key in path[:-1]:
        holder = holder[key]
    here = holder[path[-1]]
    if isinstance(here, dict) and len(path) != 2:
        if chance.random() < 0.5 and here:
            del here[chance.choice(sorted(here))]
            return wrong, "a key is gone"
        here["unexpected"] = ""
        return wrong, "a key too many"
    holder[path[-1]] = 7 if here is None or isinstance(here, str) else "x"
    return wrong, "another type"


def read(packet):
    name, documents = packet["name"], packet["documents"]
    schema, packet = (json.loads(documents[path]) for path in ("packet.schema.json", "packet.json"))
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    for error in validator.iter_errors(packet):
        raise AssertionError(f"{error.json_path}: {error.message}")
    places = kinds(schema)
    assert set(places.values()) == set(packet["shared"])
    used = {place: set() for place in packet["shared"]}
    for place, key in keys(packet, schema, schema["$defs"], places):
        assert key in packet["shared"][place], (place, key)
        used[place].add(key)
    assert all(set(packet["shared"][place]) == keys for place, keys in used.items())
    chance = random.Random(name)
    all_spots = [path for path in spots(packet) if path and path[0] != "schema"]
    wrong = [broken(packet, path, chance) + (path,) for path in chance.sample(all_spots, BROKEN)]
    wrong.append(({**packet, "schema": "another"}, "another version", ("schema",)))
    wrong.append(({key: value for key, value in packet.items() if key != "shared"}, "nothing shared", ()))
    for bad, why, path in wrong:
        assert not validator.is_valid(bad), f"{why} at {path} was accepted"
    return {"name": name, "shared": sum(len(keys) for keys in used.values()), "rejected": len(wrong)}


packets.each(read)
