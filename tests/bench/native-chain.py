"""Times, on one thread, what is commonly chained in native OpenCV for this step: decode, gray, markers, warp
at 4 px/mm, blur, Otsu, contours. Prints the median in ms. Usage: native-chain.py PHOTO REPEATS"""
import statistics
import sys
import time

import cv2
import numpy as np

cv2.setNumThreads(1)
dictionary = cv2.aruco.getPredefinedDictionary(
    getattr(cv2.aruco, "DICT_ARUCO_MIP_36h12", None) or getattr(cv2.aruco, "DICT_ARUCO_MIP_36H12", cv2.aruco.DICT_6X6_250)
)


def find(gray):
    if hasattr(cv2.aruco, "ArucoDetector"):
        return cv2.aruco.ArucoDetector(dictionary).detectMarkers(gray)
    return cv2.aruco.detectMarkers(gray, dictionary)


def chain(path):
    picture = cv2.imread(path)
    gray = cv2.cvtColor(picture, cv2.COLOR_BGR2GRAY)
    find(gray)
    # The table seen: about 560 x 420 mm at 4 px/mm.
    height, width = gray.shape
    source = np.float32([[0, 0], [width, 0], [width, height], [0, height]])
    target = np.float32([[0, 0], [2240, 0], [2240, 1680], [0, 1680]])
    flat = cv2.warpPerspective(picture, cv2.getPerspectiveTransform(source, target), (2240, 1680))
    smooth = cv2.GaussianBlur(cv2.cvtColor(flat, cv2.COLOR_BGR2GRAY), (5, 5), 0)
    _, mask = cv2.threshold(smooth, 0, 255, cv2.THRESH_BINARY + cv2.THRESH_OTSU)
    cv2.findContours(mask, cv2.RETR_CCOMP, cv2.CHAIN_APPROX_NONE)


times = []
for _ in range(int(sys.argv[2])):
    start = time.perf_counter()
    chain(sys.argv[1])
    times.append(1000 * (time.perf_counter() - start))
print(statistics.median(times))
