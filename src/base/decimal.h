/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_BASE_DECIMAL_H
#define BENCHTRUE_BASE_DECIMAL_H

#include <stdbool.h>
#include <stddef.h>

enum bt_decimal_range {
    BT_DECIMAL_FITS,
    BT_DECIMAL_LARGE, /* rounds to infinity, or its last digit does */
    BT_DECIMAL_SMALL  /* is not zero and rounds to it */
};

struct bt_decimal {
    double value; /* the double nearest to what is written, ties to even */
    double step;  /* size of the last digit written, > 0; DBL_MIN at the least */
    bool whole;   /* digits only: no point, no exponent */
    enum bt_decimal_range range;
};

/*
 * Read the unsigned decimal number that text[length] begins with: `12`, `12.5`,
 * `.5`, `12.`, each with or without `e-3`; with comma set, `12,5` too.
 * Correctly rounded whatever the locale and the number of digits, as strtod in
 * the C locale.  Takes no memory.  Returns the bytes read, 0 where no number
 * begins (out untouched); value and step mean nothing unless range is
 * BT_DECIMAL_FITS.
 */
size_t bt_decimal_read(const char *text, size_t length, bool comma,
                       struct bt_decimal *out);

/* 10^n, the nearest double; 0 or infinity where that is out of range. */
double bt_power_of_ten(int n);

#endif
