"""Fields, focal lengths and heights of lenses, by the camera models of OpenCV."""

import camera
import cv2
import numpy as np
import reference
from camera import FLAT, ROUND, project, ray, toward
from reference import within
from scipy.optimize import brentq

CLOSE = within(1e-9, relative=1e-7)


@reference.check(focal=CLOSE, scale=CLOSE, scale_at=within(0.0, relative=1e-5), off_axis=CLOSE, down=CLOSE)
def picture(given):
    width, height, view, projection = (given[name] for name in ("width", "height", "view", "projection"))
    focal = width / 2 / project(toward(across=view / 2), 1.0, projection)[0]

    def scale(at):
        step = 1e-3
        return (project(toward(at + step), focal, projection) - project(toward(at - step), focal, projection))[0] / (2 * step)

    edge = ray([0.0, height / 2], focal, projection)
    return {
        "focal": focal,
        "scale": scale(0.0),
        "scale_at": scale(given["off"]),
        "off_axis": project(toward(across=given["off"]), focal, projection)[0],
        "down": 2 * np.degrees(np.arctan2(edge[1], edge[2])),
    }


@reference.check(across=CLOSE, down=CLOSE, focal=CLOSE)
def lens(given):
    """OpenCV's own sums of what a camera matrix means on a sensor, in millimetres."""
    width, height, sensor, focal = (given[name] for name in ("width", "height", "sensor", "focal"))
    in_pixels = focal * width / sensor
    across, down, millimetres, _, _ = cv2.calibrationMatrixValues(
        np.array([[in_pixels, 0.0, width / 2], [0.0, in_pixels, height / 2], [0.0, 0.0, 1.0]]),
        (width, height),
        sensor,
        sensor * height / width,
    )
    return {"across": across, "down": down, "focal": millimetres}


@reference.check(across=CLOSE, focal=CLOSE)
def round_lens(given):
    sensor, focal = given["sensor"], given["focal"]
    edge = ray([sensor / 2, 0.0], focal, ROUND)
    at_edge = project(toward(across=given["view"] / 2), 1.0, ROUND)[0]
    return {"across": 2 * np.degrees(np.arctan2(edge[0], edge[2])), "focal": sensor / 2 / at_edge}


@reference.check(width=CLOSE, distance=CLOSE, covered=CLOSE)
def wall(given):
    """A wall square to the view: what of it fills a picture 2 units wide."""
    distance, view, size = given["distance"], given["view"], given["size"]
    focal = 1.0 / project(toward(across=view / 2), 1.0, FLAT)[0]
    half = brentq(lambda x: project([x, 0.0, distance], focal, FLAT)[0] - 1.0, 0.0, 1e6, xtol=1e-12)
    away = brentq(lambda z: project([size / 2, 0.0, z], focal, FLAT)[0] - 1.0, 1e-9, 1e6, xtol=1e-12)
    left, right = np.array([-size / 2, 0.0, distance]), np.array([size / 2, 0.0, distance])
    apart = np.arctan2(np.linalg.norm(np.cross(left, right)), left @ right)
    return {"width": 2 * half, "distance": away, "covered": np.degrees(apart)}


@reference.check(tilt=within(1e-6), horizon=within(1e-6, relative=1e-7), lifted=within(1e-6), roll=within(1e-5))
def aim(given):
    target = [0.0, given["lens"] - given["target"], given["distance"]]
    tilt = brentq(lambda up: project(target, 1.0, FLAT, turned=[np.radians(up), 0, 0])[1], *around(target))
    horizon = project([0.0, 0.0, 1.0], given["focal"], given["projection"], turned=[np.radians(given["tilt"]), 0, 0])
    edge = given["width"] / 2

    def lifted(roll):
        return abs(project([edge, 0.0, 1.0], 1.0, FLAT, turned=[0.0, 0.0, np.radians(roll)])[1])

    return {
        "tilt": tilt,
        "horizon": horizon[1],
        "lifted": lifted(given["roll"]),
        "roll": brentq(lambda roll: lifted(roll) - given["shift"], 0.0, 90.0),
    }


def around(target):
    """Tilts that surely have a target above and below the middle, and before the lens."""
    straight = np.degrees(np.arctan2(-target[1], target[2]))
    return straight - 5.0, straight + 5.0


reference.main()
