/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_BASE_QUANTITY_H
#define BENCHTRUE_BASE_QUANTITY_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"

/*
 * Quantities as a maker writes them, read whole or refused, whatever the
 * locale: `17 7/8`, `17-7/8 in`, `17.875"`, `17½ in`, `2' 6 1/2"`, `450 mm`,
 * `45 cm`, `1.2 m`, `12 thou`, `0.25 deg`, `45 %`, `70 F`, `21 C`, `1050 lbf`,
 * `150 psi`, `3 d`, `2 h`.
 *
 * Inside the library a length is in mm, an angle in rad, a slope in mm/mm, a
 * temperature in degrees Celsius, a force in N, a pressure in MPa (N/mm2), a
 * time in days, a share in percent, a density in kg/m3.
 */
enum bt_dimension {
    BT_DIM_NUMBER,
    BT_DIM_LENGTH,
    BT_DIM_ANGLE,
    BT_DIM_SLOPE, /* mm/m, or an angle whose tangent it is */
    BT_DIM_PERCENT,
    BT_DIM_TEMPERATURE,
    BT_DIM_FORCE,
    BT_DIM_PRESSURE,
    BT_DIM_TIME,
    BT_DIM_DENSITY
};

/* BT_UNIT_NONE: "no unit known", so that a bare number is refused. */
enum bt_unit {
    BT_UNIT_NONE,
    BT_UNIT_ONE,
    BT_UNIT_MM,
    BT_UNIT_CM,
    BT_UNIT_M,
    BT_UNIT_UM,
    BT_UNIT_IN,
    BT_UNIT_FT,
    BT_UNIT_THOU,
    BT_UNIT_DEG,
    BT_UNIT_RAD,
    BT_UNIT_MM_PER_M,
    BT_UNIT_PERCENT,
    BT_UNIT_CELSIUS,
    BT_UNIT_FAHRENHEIT,
    BT_UNIT_N,
    BT_UNIT_KN,
    BT_UNIT_LBF,
    BT_UNIT_PA,
    BT_UNIT_KPA,
    BT_UNIT_MPA,
    BT_UNIT_PSI,
    BT_UNIT_DAY,
    BT_UNIT_HOUR,
    BT_UNIT_MINUTE,
    BT_UNIT_KG_PER_M3,
    BT_UNIT_COUNT
};

struct bt_quantity {
    double value;      /* inside unit of the dimension */
    double step;       /* size of the last digit typed, or 1/denominator of a
                          fraction (`7/8`: 1/8), in the inside unit, > 0 */
    enum bt_unit unit; /* as typed, else the default that was taken */
    bool unit_typed;
    bool whole;      /* typed as a whole number: no point, exponent or fraction */
    int denominator; /* of the fraction that was typed, 0 where none was */
};

/*
 * Read one quantity.
 *
 *   text[length]   UTF-8, blanks around it ignored; need not end in NUL
 *   dim            what it must be
 *   unit           what a bare number means; BT_UNIT_NONE refuses a bare number,
 *                  but for BT_DIM_NUMBER, which needs no unit
 *   decimal_comma  true: a decimal comma is read as well as a point
 *   out            out: the quantity; left untouched on error
 *   err            out, may be NULL: column is the character (from 1, UTF-8
 *                  characters, not bytes) where reading stopped, the last one
 *                  where something is missing after it, 1 in an empty text; the
 *                  message says what is wrong and what would do, without a place
 *
 * A sign is read (`-3 mm`, `-17 7/8 in` is -17.875).  Refused: empty text, text
 * after the quantity (`5abc`), hexadecimal numbers, `nan`, `inf`, a number too
 * large for a double (1e400), a denominator of 0, a fraction not in the form
 * a/b, two units, a unit of another dimension, and a spreadsheet's date
 * (`16-Mar`, `3/16/2026`, `2026-03-16`), which the message explains (a
 * spreadsheet turned a fraction into a date: make the column text).
 * Denominators of fractions: any from 1 to 1024.  Refused too, as they are more
 * likely slips: a fraction of one or more behind a whole number (`17 9/8`), 12 or
 * more inches behind feet, a number that is not 0 and rounds to it (1e-400), a
 * slope of a right angle or more.  Bare inches may follow a foot mark (`2' 6`).
 * Decimals are correctly rounded, however many digits they have.
 *
 * Returns BT_OK, BT_EINPUT, or BT_ECALL (unit does not belong to dim).
 */
BT_API enum bt_status bt_quantity_parse(const char *text, size_t length,
                                        enum bt_dimension dim, enum bt_unit unit,
                                        bool decimal_comma, struct bt_quantity *out,
                                        struct bt_error *err);

/*
 * The unit that a word stands for (`mm`, `in`, `"`, `thou`, `mm/m`, `mm_per_m`,
 * `deg`, `%`, `pct`, ...); BT_UNIT_NONE where it is none.  Case matters only
 * where it must (`C`, `F`, `N`, `MPa`).  Column suffixes are read with it too.
 */
BT_API enum bt_unit bt_unit_find(const char *word, size_t length);

/* The usual written form of a unit (`mm`, `in`, `mm/m`); "" for BT_UNIT_NONE. */
BT_API const char *bt_unit_name(enum bt_unit unit);

/* What a unit measures; BT_DIM_NUMBER for BT_UNIT_NONE and BT_UNIT_ONE. */
BT_API enum bt_dimension bt_unit_dimension(enum bt_unit unit);

/*
 * A value in its inside unit from a value in unit, and back: 1 in -> 25.4 mm.
 * Temperatures carry their zero (32 F -> 0 C); a slope in degrees becomes its
 * tangent only in bt_quantity_parse.  BT_UNIT_NONE and BT_UNIT_ONE: unchanged.
 */
BT_API double bt_unit_to_inside(double value, enum bt_unit unit);
BT_API double bt_unit_from_inside(double value, enum bt_unit unit);

#endif
