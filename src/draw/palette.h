/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_PALETTE_H
#define BENCHTRUE_DRAW_PALETTE_H

/*
 * Colours for heights, from deep blue (lowest) to pale yellow (highest): a straight
 * line in CIELAB (white D65), so that equal steps of height are equal steps of colour
 * and of lightness.  Blue against yellow is the opposition that eyes with a red-green
 * deficiency keep, and lightness alone carries the order in grey.  Black letters have
 * a contrast of at least 4.5 to 1 on every one of them (the least that WCAG 2.1,
 * success criterion 1.4.3, asks for).
 *
 *   share  0 (lowest) to 1
 *   rgb    out: sRGB, 0 to 1
 *
 * Sources: CIE 15 (L*a*b* from XYZ); IEC 61966-2-1 (XYZ to sRGB); constants from
 * memory.
 */
void palette_colour(double share, double rgb[3]);

/* The same line in CIELAB. */
void palette_lab(double share, double lab[3]);

#endif
