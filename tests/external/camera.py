"""A camera by OpenCV: its pinhole model, and its fisheye model without distortion.

The fisheye model of OpenCV (Kannala and Brandt, 2006) is equidistant when all of its
coefficients are 0; it takes points in front of the camera only. Axes are OpenCV's: x to
the right, y down, z along the view.
"""

import cv2
import numpy as np

FLAT, ROUND = "rectilinear", "equidistant"
STRAIGHT = np.zeros(3)
UNDISTORTED = np.zeros(4)


def matrix(focal):
    return np.diag([focal, focal, 1.0])


def project(point, focal, projection, turned=STRAIGHT, moved=STRAIGHT):
    """Where in the picture a point appears, from its middle. The camera stands at
    `moved` and is turned by the rotation vector `turned`, in radians."""
    rotation, _ = cv2.Rodrigues(np.asarray(turned, dtype=float))
    seen = rotation.T @ (np.asarray(point, dtype=float) - moved)
    model = cv2.fisheye if projection == ROUND else cv2
    points, _ = model.projectPoints(seen.reshape(1, 1, 3), STRAIGHT, STRAIGHT, matrix(focal), UNDISTORTED)
    return points.reshape(2)


def ray(point, focal, projection):
    """The direction that a place in the picture shows, with z = 1."""
    model = cv2.fisheye if projection == ROUND else cv2
    points = np.asarray(point, dtype=float).reshape(1, 1, 2)
    return np.append(model.undistortPoints(points, matrix(focal), UNDISTORTED).reshape(2), 1.0)


def toward(across=0.0, down=0.0):
    """A point one metre away, at degrees off the axis: first down, then across."""
    across, down = np.radians([across, down])
    return np.array([np.cos(down) * np.sin(across), np.sin(down), np.cos(down) * np.cos(across)])
