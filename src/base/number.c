/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/reader.h"

#include <float.h>

#include "base/decimal.h"

enum { DENOMINATOR_MAX = 1024 };

/* hyphens U+2010 and U+2011, en dash U+2013 */
bool bt_skip_hyphen(struct bt_reader *r)
{
    static const char *const pieces[] = {"-", "\xE2\x80\x90", "\xE2\x80\x91",
                                         "\xE2\x80\x93"};

    return bt_skip(r, sizeof pieces / sizeof pieces[0], pieces);
}

/* fraction slash U+2044, division slash U+2215 */
static bool skip_slash(struct bt_reader *r)
{
    static const char *const pieces[] = {"/", "\xE2\x81\x84", "\xE2\x88\x95"};

    return bt_skip(r, sizeof pieces / sizeof pieces[0], pieces);
}

static enum bt_status refuse_fraction(const struct bt_reader *r)
{
    return bt_refuse(r, "not a fraction of the form a/b",
                     "write whole numbers such as 7/8 or 17 7/8");
}

/* Digits as a number; a count too long for a double is no fraction's part. */
static bool read_count(struct bt_reader *r, double *count)
{
    const char *from = r->at;

    for (*count = 0; bt_digit_at(r); r->at++)
        *count = *count * 10 + (*r->at - '0');
    return r->at > from && *count < 1 / DBL_EPSILON;
}

static bool read_vulgar(struct bt_reader *r, double *over, double *under)
{
    static const struct {
        const char *text;
        int over, under;
    } vulgar[] = {
        {"\xC2\xBD", 1, 2},     {"\xC2\xBC", 1, 4},     {"\xC2\xBE", 3, 4},
        {"\xE2\x85\x9B", 1, 8}, {"\xE2\x85\x9C", 3, 8}, {"\xE2\x85\x9D", 5, 8},
        {"\xE2\x85\x9E", 7, 8}, {"\xE2\x85\x93", 1, 3}, {"\xE2\x85\x94", 2, 3},
        {"\xE2\x85\x95", 1, 5}, {"\xE2\x85\x96", 2, 5}, {"\xE2\x85\x97", 3, 5},
        {"\xE2\x85\x98", 4, 5}, {"\xE2\x85\x99", 1, 6}, {"\xE2\x85\x9A", 5, 6},
        {"\xE2\x85\x90", 1, 7}, {"\xE2\x85\x91", 1, 9}, {"\xE2\x85\x92", 1, 10},
    };
    size_t i;

    if (r->at == r->end || (unsigned char)*r->at < 0x80)
        return false;
    for (i = 0; i < sizeof vulgar / sizeof vulgar[0]; i++) {
        if (!bt_skip(r, 1, &vulgar[i].text))
            continue;
        *over = vulgar[i].over;
        *under = vulgar[i].under;
        return true;
    }
    return false;
}

/* After a numerator and its slash. */
static enum bt_status read_denominator(struct bt_reader *r, double *under)
{
    const char *from = r->at;
    bool is_count = read_count(r, under);

    if (r->at == from)
        return refuse_fraction(r);
    if (is_count && *under >= 1 && *under <= DENOMINATOR_MAX) {
        if (r->at == r->end || (*r->at != '/' && *r->at != '.' && *r->at != ','))
            return BT_OK;
        return refuse_fraction(r);
    }
    r->at = from;
    return bt_refuse(r,
                     *under > 0 ? "a fraction with a denominator over 1024"
                                : "a fraction with denominator 0",
                     "write a denominator from 1 to 1024, such as 7/8");
}

/* Whole, and a fraction below one: `17` and `7/8`. */
static enum bt_status add_fraction(struct bt_reader *r, struct bt_number *n,
                                   double over, double under, const char *from)
{
    if (!(n->value < 1 / DBL_EPSILON)) {
        r->at = from;
        return bt_refuse(r, "too many digits before a fraction",
                         "write at most 15 of them");
    }
    if (!(over < under)) {
        r->at = from;
        return bt_refuse(r, "a whole number with a fraction that is not below one",
                         "write one such as 17 7/8");
    }
    n->value = (n->value * under + over) / under;
    n->step = 1 / under;
    n->whole = false;
    n->denominator = (int)under;
    return BT_OK;
}

/* Is it digits and a slash that comes next, after blanks or one hyphen? */
static bool fraction_follows(const struct bt_reader *r)
{
    struct bt_reader ahead = *r;
    double count;

    if (!bt_skip_blanks(&ahead) && !bt_skip_hyphen(&ahead))
        return false;
    (void)read_count(&ahead, &count);
    return skip_slash(&ahead);
}

/* What may follow the digits of a number: nothing, the rest of a fraction, or a
 * fraction. */
static enum bt_status read_fraction(struct bt_reader *r, struct bt_number *n)
{
    struct bt_reader ahead = *r;
    const char *from;
    double over, under;
    enum bt_status status;

    if (r->at == r->end)
        return BT_OK;
    if (skip_slash(r)) {
        if (!n->whole || !(n->value < 1 / DBL_EPSILON))
            return refuse_fraction(r);
        status = read_denominator(r, &under);
        if (status == BT_OK)
            *n = (struct bt_number){n->value / under, 1 / under, false, (int)under};
        return status;
    }
    bt_skip_blanks(&ahead);
    from = ahead.at;
    if (read_vulgar(&ahead, &over, &under)) {
        r->at = n->whole ? ahead.at : from;
        return n->whole ? add_fraction(r, n, over, under, from) : refuse_fraction(r);
    }
    if (!fraction_follows(r))
        return BT_OK;
    if (!bt_skip_blanks(r))
        (void)bt_skip_hyphen(r);
    from = r->at;
    if (!n->whole || !read_count(r, &over) || !skip_slash(r))
        return refuse_fraction(r);
    status = read_denominator(r, &under);
    return status == BT_OK ? add_fraction(r, n, over, under, from) : status;
}

static bool hexadecimal_at(const struct bt_reader *r)
{
    return bt_left(r) > 1 && r->at[0] == '0' && (r->at[1] == 'x' || r->at[1] == 'X');
}

enum bt_status bt_read_number(struct bt_reader *r, struct bt_number *n)
{
    struct bt_decimal decimal;
    double over, under;
    size_t used;

    if (hexadecimal_at(r)) {
        r->at++;
        return bt_refuse(r, "a hexadecimal number", "write it in decimal digits");
    }
    used = bt_decimal_read(r->at, bt_left(r), r->comma, &decimal);
    if (used == 0) {
        if (!read_vulgar(r, &over, &under))
            return bt_refuse_noun(r, "not ");
        *n = (struct bt_number){over / under, 1 / under, false, (int)under};
        return BT_OK;
    }
    if (decimal.range != BT_DECIMAL_FITS)
        return bt_refuse(r,
                         decimal.range == BT_DECIMAL_LARGE ? "too large a number"
                                                           : "too small a number",
                         "write one that a double holds, about 1e-300 to 1e300");
    r->at += used;
    *n = (struct bt_number){decimal.value, decimal.step, decimal.whole, 0};
    return read_fraction(r, n);
}
