/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_BASE_READER_H
#define BENCHTRUE_BASE_READER_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/quantity.h"

/* What bt_quantity_parse is reading; at runs to end. */
struct bt_reader {
    const char *text, *at, *end;
    enum bt_dimension dim;
    bool comma; /* a decimal comma is read too */
    struct bt_error *err;
};

struct bt_number {
    double value, step; /* value without sign */
    bool whole;         /* digits only: no point, exponent or fraction */
    int denominator;    /* of its fraction, 0: none */
};

/* Bytes still to be read. */
size_t bt_left(const struct bt_reader *r);

bool bt_digit_at(const struct bt_reader *r);

/* Step over blanks; was there one? */
bool bt_skip_blanks(struct bt_reader *r);

/* Step over one of the n pieces of text if it comes next. */
bool bt_skip(struct bt_reader *r, size_t n, const char *const pieces[]);

/*
 * Refuse the whole text, with the place where reading stopped: `what: 'text',
 * fix`; fix NULL: what is usual for the dimension.  Returns BT_EINPUT.
 */
enum bt_status bt_refuse(const struct bt_reader *r, const char *what, const char *fix);

/* The same with `word` and the dimension as what: `not a length`. */
enum bt_status bt_refuse_noun(const struct bt_reader *r, const char *word);

/* The same with `a temperature, not a length`. */
enum bt_status bt_refuse_other(const struct bt_reader *r, enum bt_dimension found);

/* Read an unsigned decimal number, fraction or both (`17 7/8`). */
enum bt_status bt_read_number(struct bt_reader *r, struct bt_number *n);

/* Step over one hyphen, as in `17-7/8`. */
bool bt_skip_hyphen(struct bt_reader *r);

#endif
