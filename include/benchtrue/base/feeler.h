/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_BASE_FEELER_H
#define BENCHTRUE_BASE_FEELER_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/quantity.h"
#include "benchtrue/base/status.h"

/*
 * Gaps as feelers give them:
 *
 *     feeler := quantity | name
 *     stack  := feeler { "+" feeler }
 *     gap    := stack | stack ".." stack | "<" stack
 *
 * `0.004..0.006 in`: the first went, the second did not.  `<0.0015 in`: not even
 * that one went.  A unit at the end of a stack or interval holds for all bare
 * numbers in it.  Names (`paper`, `card`) are the maker's own.
 */

/* One named feeler; a word of letters, digits, `_` and `-` that begins with a
 * letter and is no unit. */
struct bt_feeler {
    const char *name;
    double mm;   /* thickness, mm */
    size_t line; /* where it was defined, for messages; 0 where nowhere */
};

enum bt_gap_kind {
    BT_GAP_EXACT,    /* one stack: it just went, or a dial was read */
    BT_GAP_INTERVAL, /* between two stacks */
    BT_GAP_BELOW     /* between 0 and one stack */
};

/* How the numbers of a gap were typed: what their last digit says depends on it. */
enum bt_digits {
    BT_DIGITS_NONE,    /* only names */
    BT_DIGITS_WHOLE,   /* `12`, `0` */
    BT_DIGITS_POINT,   /* one of them with a point or exponent, none a fraction */
    BT_DIGITS_FRACTION /* one of them a fraction */
};

struct bt_gap {
    enum bt_gap_kind kind;
    double low, high; /* mm; low <= high, equal for BT_GAP_EXACT */
    double step;      /* mm, finest last digit typed; named feelers add none, so
                         it is 0 when only names were typed; where there is a
                         fraction, that of the finest fraction */
    enum bt_digits digits;
    int odd;           /* denominator of a fraction of an inch or foot that no rule
                          has (bt_rule_has), 0 where there is none */
    bool metric, inch; /* a number other than 0 was typed in such a unit */
};

/*
 * The widest gap that is believed under a straightedge, mm: 1 in.  Wood that far off
 * is not measured with leaves, and 30 typed for 30 thou in a column of inches is far
 * above it, while 1/2 in over a long door is below.
 */
#define BT_GAP_MOST 25.4

/* Does a rule in inches have such a division?  Halves to 64ths (common practice, no
 * source). */
BT_API bool bt_rule_has(int denominator);

/* Is it a fraction below one, as a rule has it, with the unit thou?  `1/64` in a
 * column of thou hardly means 1/64 of a thousandth of an inch. */
BT_API bool bt_rule_fraction_in_thou(const struct bt_quantity *q);

/*
 * Read a gap.
 *
 *   text[length]      as typed, blanks around it ignored
 *   unit              what bare numbers mean where no unit is typed at the end;
 *                     BT_UNIT_NONE refuses them
 *   decimal_comma     as in bt_quantity_parse
 *   nfeeler, feeler[] the names known; may be 0 and NULL
 *   out               left untouched on error
 *   err               as in bt_quantity_parse; an unknown name is answered with
 *                     the nearest known one
 *
 * A negative gap, one of over BT_GAP_MOST, a fraction of a rule in thou, and an
 * interval whose first stack is not thinner than its second, are refused, and so is
 * everything that bt_quantity_parse refuses.  Where it is plain what was meant
 * (`0.012-0.014`, `0.01O`, `2 paper`) the message offers it, else it shows the forms.
 * A single stack may be 0; `<0` may not.  A plus sign before the first feeler is
 * its sign.  Returns BT_OK, BT_EINPUT or BT_ECALL.
 */
BT_API enum bt_status bt_gap_parse(const char *text, size_t length, enum bt_unit unit,
                                   bool decimal_comma, size_t nfeeler,
                                   const struct bt_feeler feeler[], struct bt_gap *out,
                                   struct bt_error *err);

/* A quantity as a gap of one number: what tells how it was typed, whatever its
 * dimension and sign. */
BT_API struct bt_gap bt_gap_of_quantity(const struct bt_quantity *q);

/*
 * Value and standard uncertainty of an interval: the middle, and the half width
 * over sqrt(3) (rectangular distribution, JCGM 100:2008, 4.3.7).  For
 * BT_GAP_EXACT u is 0: the instrument or the step decides.
 */
BT_API double bt_gap_value(const struct bt_gap *gap);
BT_API double bt_gap_u(const struct bt_gap *gap);

#endif
