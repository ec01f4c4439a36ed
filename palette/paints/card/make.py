"""Write the tables of this folder: the marks from OpenCV, the charts' published colours from colour-science.

    python palette/paints/card/make.py

The charts' CIELAB values are their maker's, for D50, as colour-science carries them ("ColorChecker24 - After
November 2014" and "… Before …"); they are adapted to D65 by Bradford's transform (as in ICC.1:2022, annex E).
"""

from pathlib import Path

import numpy as np

HERE = Path(__file__).parent


def main() -> None:
    import colour
    import cv2

    marks = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_5X5_250)
    lines = []
    for number in range(len(marks.bytesList)):
        image = marks.generateImageMarker(number, 7)
        bits = "".join("1" if level else "0" for level in image[1:-1, 1:-1].ravel())
        lines.append(f"{int(bits, 2):07x}")
    (HERE / "marks.txt").write_text("\n".join(lines) + "\n", "ascii")

    rows = ["chart,patch,lab_l,lab_a,lab_b"]
    for name, title in (("since-2014", "After"), ("before-2014", "Before")):
        chart = colour.CCS_COLOURCHECKERS[f"ColorChecker24 - {title} November 2014"]
        d65 = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
        for patch, xyy in chart.data.items():
            xyz = colour.adaptation.chromatic_adaptation_VonKries(
                colour.xyY_to_XYZ(xyy),
                colour.xy_to_XYZ(chart.illuminant),
                colour.xy_to_XYZ(d65),
                transform="Bradford",
            )
            lab = colour.XYZ_to_Lab(xyz, d65)
            rows.append(",".join([name, patch, *(f"{value:.3f}" for value in np.asarray(lab))]))
    (HERE / "charts.csv").write_text("\n".join(rows) + "\n", "utf-8")


if __name__ == "__main__":
    main()
