/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_BASE_PRINT_H
#define BENCHTRUE_BASE_PRINT_H

#include <stddef.h>

#include "benchtrue/export.h"

/*
 * Numbers for people, always with a decimal point, never more digits than the
 * uncertainty carries.  What is printed reads back (bt_quantity_parse) as the
 * same value to the printed step.
 */

enum bt_system { BT_SYSTEM_MM, BT_SYSTEM_IN };

enum bt_length_style {
    BT_LENGTH_RULE,  /* read on a rule: `1200 mm`, `17 7/8 in` (to 1/64, lowest
                        terms, `-17 7/8 in`, `0 in`) */
    BT_LENGTH_FEELER /* read with feelers or a dial: `0.25 mm`, `12.5 thou` */
};

enum { BT_PRINT_ROOM = 48 };

/*
 * Print a length.
 *
 *   out[BT_PRINT_ROOM]  out: NUL-terminated
 *   mm                  the value; "?" alone where it is NaN or infinite (in
 *                       the unit printed) or u_mm is infinite; from 1e15 units
 *                       an exponent is printed
 *   u_mm                its standard uncertainty: the last digit printed is the
 *                       one that holds the first significant digit of u (the
 *                       second where that first digit is 1), and never finer than
 *                       0.001 mm, 0.1 thou or 1/64 in.  0, NaN or negative: "exact",
 *                       to 0.01 mm, 0.1 thou, 1/64 in, trailing zeros dropped.
 *                       Coarser than a unit rounds to tens or hundreds.
 *                       BT_LENGTH_RULE in inches: to the largest binary fraction
 *                       (1, 1/2 ... 1/64) not above 2 u, 1/64 at the finest,
 *                       lowest terms; from u = 20 in to tens.
 *
 * A minus sign is never printed before a value that rounds to zero.
 * Returns out.
 */
BT_API const char *bt_print_length(char out[BT_PRINT_ROOM], double mm, double u_mm,
                                   enum bt_system system, enum bt_length_style style);

/*
 * The same number without its unit, for table columns whose head names it.  The
 * unit is the one that bt_print_length would have written: see
 * bt_length_unit_name.
 */
BT_API const char *bt_print_length_bare(char out[BT_PRINT_ROOM], double mm, double u_mm,
                                        enum bt_system system,
                                        enum bt_length_style style);

/* `mm`, `in` or `thou`. */
BT_API const char *bt_length_unit_name(enum bt_system system,
                                       enum bt_length_style style);

/* An uncertainty itself: one significant digit (two where the first is 1),
 * rounded up so that no doubt is hidden, never finer than bt_print_length prints
 * (0.001 mm, 0.1 thou), bare, feeler style.  `0` for 0; "?" where it is NaN,
 * infinite or negative. */
BT_API const char *bt_print_u_bare(char out[BT_PRINT_ROOM], double u_mm,
                                   enum bt_system system);

/* An angle given in rad, printed in degrees: `0.25 deg`; digits as above, never
 * finer than 0.001 deg; "exact" to 0.01 deg. */
BT_API const char *bt_print_angle(char out[BT_PRINT_ROOM], double rad, double u_rad);

/* A share (0.953 -> `95 %`); never `100 %` or `0 %` for a value that is neither:
 * `> 99 %`, `< 1 %`.  "?" outside 0 to 1. */
BT_API const char *bt_print_share(char out[BT_PRINT_ROOM], double share);

#endif
