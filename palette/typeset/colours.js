// Colours in a page, for the scripts that stand behind this one.
// CIELAB and sRGB: CIE 15:2018, IEC 61966-2-1; CIEDE2000: Sharma, Wu & Dalal, Color Res. Appl. 30 (2005) 21-30.
"use strict";
const colours = (function () {
  function toLab(xyz, white) {
    const f = xyz.map((v, i) => {
      const r = v / white[i];
      return r > (6 / 29) ** 3 ? Math.cbrt(r) : ((29 / 3) ** 3 * r + 16) / 116;
    });
    return [116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])];
  }

  // The linear light of three or six hexadecimal digits, null where it is no such colour
  function hexToLinear(text) {
    let digits = text.trim().replace(/^#/, "");
    if (digits.length === 3) digits = digits.replace(/./g, "$&$&");
    if (!/^[0-9a-fA-F]{6}$/.test(digits)) return null;
    return [0, 2, 4].map((i) => {
      const v = parseInt(digits.slice(i, i + 2), 16) / 255;
      return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
    });
  }

  function hexToLab(text, srgb, white) {
    const linear = hexToLinear(text);
    return linear && toLab(srgb.map((row) => row.reduce((sum, v, i) => sum + v * linear[i], 0)), white);
  }

  function difference(p, q) {
    const rad = Math.PI / 180;
    const [l1, a1, b1] = p, [l2, a2, b2] = q;
    const mean = (Math.hypot(a1, b1) + Math.hypot(a2, b2)) / 2;
    const g = 0.5 * (1 - Math.sqrt(mean ** 7 / (mean ** 7 + 25 ** 7)));
    const A1 = (1 + g) * a1, A2 = (1 + g) * a2;
    const c1 = Math.hypot(A1, b1), c2 = Math.hypot(A2, b2);
    const hue = (a, b) => (a === 0 && b === 0 ? 0 : (Math.atan2(b, a) / rad + 360) % 360);
    const h1 = hue(A1, b1), h2 = hue(A2, b2);
    let dh = h2 - h1;
    if (c1 * c2 === 0) dh = 0;
    else if (dh > 180) dh -= 360;
    else if (dh < -180) dh += 360;
    const dL = l2 - l1, dC = c2 - c1, dH = 2 * Math.sqrt(c1 * c2) * Math.sin((dh / 2) * rad);
    const L = (l1 + l2) / 2, C = (c1 + c2) / 2;
    let h = h1 + h2;
    if (c1 * c2 !== 0) {
      if (Math.abs(h1 - h2) <= 180) h /= 2;
      else h = h < 360 ? (h + 360) / 2 : (h - 360) / 2;
    }
    const t = 1 - 0.17 * Math.cos((h - 30) * rad) + 0.24 * Math.cos(2 * h * rad)
      + 0.32 * Math.cos((3 * h + 6) * rad) - 0.2 * Math.cos((4 * h - 63) * rad);
    const sL = 1 + (0.015 * (L - 50) ** 2) / Math.sqrt(20 + (L - 50) ** 2);
    const sC = 1 + 0.045 * C, sH = 1 + 0.015 * C * t;
    const rT = -Math.sin(60 * Math.exp(-(((h - 275) / 25) ** 2)) * rad) * 2 * Math.sqrt(C ** 7 / (C ** 7 + 25 ** 7));
    return Math.sqrt((dL / sL) ** 2 + (dC / sC) ** 2 + (dH / sH) ** 2 + rT * (dC / sC) * (dH / sH));
  }

  return { toLab, hexToLab, difference };
})();
