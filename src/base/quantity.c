/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/base/quantity.h"

#include <float.h>
#include <math.h>
#include <string.h>

#include "base/date.h"
#include "base/reader.h"
#include "base/utf8.h"

enum { INCHES_PER_FOOT = 12 };

/* minus sign U+2212 and en dash U+2013, which word processors put for it */
static bool skip_minus(struct bt_reader *r)
{
    static const char *const pieces[] = {"-", "\xE2\x88\x92", "\xE2\x80\x93"};

    return bt_skip(r, sizeof pieces / sizeof pieces[0], pieces);
}

static bool fits(enum bt_unit unit, enum bt_dimension dim)
{
    if (unit == BT_UNIT_NONE)
        return true;
    if (dim == BT_DIM_SLOPE && bt_unit_dimension(unit) == BT_DIM_ANGLE)
        return true;
    return bt_unit_dimension(unit) == dim;
}

/* The text after a number, where it is no unit.  Units that are often written
 * and may not be guessed get their own words. */
static enum bt_status refuse_rest(struct bt_reader *r)
{
    const char *from = r->at;
    size_t length = bt_left(r);

    if (*from == ',')
        return bt_refuse(r, "a comma in a number",
                         "write a decimal point and no thousands mark, such as 1200.5");
    if (bt_digit_at(r))
        return bt_refuse(r, "two numbers", NULL);
    if (length == 3 && memcmp(from, "mil", 3) == 0)
        return bt_refuse(r, "a unit that some read as 0.001 in and others as 1 mm",
                         "write thou or mm");
    if (length == 2 && memcmp(from, "lb", 2) == 0 && r->dim == BT_DIM_FORCE)
        return bt_refuse(r, "a mass where a force is wanted", "write lbf");
    return bt_refuse_noun(r, "not ");
}

/* Step over a leading word of the rest (up to a blank or digit) that is a unit. */
static enum bt_unit read_leading_unit(struct bt_reader *r)
{
    const char *from = r->at;
    enum bt_unit unit;

    while (r->at < r->end && !bt_digit_at(r) && bt_blank(r->at, bt_left(r)) == 0 &&
           !(r->at > from && (*r->at == '-' || *r->at == '+')))
        r->at++;
    unit = bt_unit_find(from, (size_t)(r->at - from));
    if (unit == BT_UNIT_NONE)
        r->at = from;
    return unit;
}

/* `2' 6 1/2"` after the foot mark: inches, their mark may be missing. */
static enum bt_status read_inches(struct bt_reader *r, struct bt_number *n)
{
    struct bt_number inches;
    const char *from;
    enum bt_status status;

    if (!n->whole)
        return bt_refuse(r, "feet with a fraction and inches as well",
                         "write whole feet, such as 2' 6 1/2\"");
    if (bt_skip_hyphen(r))
        bt_skip_blanks(r);
    from = r->at;
    status = bt_read_number(r, &inches);
    if (status != BT_OK)
        return status;
    bt_skip_blanks(r);
    if (r->at < r->end && bt_unit_find(r->at, bt_left(r)) != BT_UNIT_IN)
        return refuse_rest(r);
    r->at = from;
    if (!(inches.value < INCHES_PER_FOOT))
        return bt_refuse(
            r, "feet with a foot or more of inches",
            "write less than 12 inches after the feet, such as 2' 6 1/2\"");
    n->value = n->value * INCHES_PER_FOOT + inches.value;
    n->step = inches.step;
    n->whole = inches.whole;
    n->denominator = inches.denominator;
    return BT_OK;
}

/* The unit after a number, or none. */
static enum bt_status read_unit(struct bt_reader *r, struct bt_number *n,
                                enum bt_unit *unit)
{
    const char *from;

    bt_skip_blanks(r);
    *unit = BT_UNIT_NONE;
    if (r->at == r->end)
        return BT_OK;
    from = r->at;
    *unit = bt_unit_find(r->at, bt_left(r));
    if (*unit == BT_UNIT_NONE) {
        *unit = read_leading_unit(r);
        bt_skip_blanks(r);
        if (*unit == BT_UNIT_NONE || r->at == r->end)
            return refuse_rest(r);
        if (*unit == BT_UNIT_FT && r->dim == BT_DIM_LENGTH) {
            *unit = BT_UNIT_IN;
            return read_inches(r, n);
        }
        if (bt_digit_at(r))
            return bt_refuse(r, "two quantities", NULL);
        if (bt_unit_find(r->at, bt_left(r)) != BT_UNIT_NONE)
            return bt_refuse(r, "two units", NULL);
        return bt_refuse_noun(r, "not ");
    }
    if (fits(*unit, r->dim))
        return BT_OK;
    r->at = from;
    return bt_refuse_other(r, bt_unit_dimension(*unit));
}

/* Into the inside unit. */
static enum bt_status convert(const struct bt_reader *r, struct bt_quantity *q)
{
    double inside = bt_unit_to_inside(q->value, q->unit);
    double step = bt_unit_to_inside(q->step, q->unit) - bt_unit_to_inside(0, q->unit);

    if (q->unit == BT_UNIT_FAHRENHEIT)
        step = q->step * 5 / 9;
    if (r->dim == BT_DIM_SLOPE && q->unit != BT_UNIT_MM_PER_M) {
        if (!(fabs(inside) < bt_unit_to_inside(90, BT_UNIT_DEG)))
            return bt_refuse(r, "a slope of a right angle or more",
                             "write one between -90 and 90 deg");
        inside = tan(inside);
        step *= 1 + inside * inside;
    }
    if (!(fabs(inside) <= DBL_MAX && step <= DBL_MAX))
        return bt_refuse(r, "too large a number",
                         "write one that a double holds, about 1e-300 to 1e300");
    q->value = inside;
    q->step = step >= DBL_MIN ? step : DBL_MIN;
    return BT_OK;
}

static enum bt_status read_whole(struct bt_reader *r, enum bt_unit bare,
                                 struct bt_quantity *q)
{
    struct bt_number n;
    const char *from;
    enum bt_unit unit;
    enum bt_status status;
    bool minus;

    bt_skip_blanks(r);
    if (r->at == r->end)
        return bt_refuse_noun(r, "empty where there should be ");
    from = r->at;
    minus = skip_minus(r);
    if (!minus && *r->at == '+')
        r->at++;
    bt_skip_blanks(r);
    status = bt_read_number(r, &n);
    if (status == BT_OK)
        status = read_unit(r, &n, &unit);
    if (status != BT_OK)
        return status;
    if (unit == BT_UNIT_NONE && bare == BT_UNIT_NONE) {
        r->at = from;
        return bt_refuse(r, "a number without a unit", NULL);
    }
    q->unit_typed = unit != BT_UNIT_NONE;
    q->unit = q->unit_typed ? unit : bare;
    /* 0 - value: `-0` is no different from `0` */
    q->value = minus ? 0 - n.value : n.value;
    q->step = n.step;
    q->whole = n.whole;
    q->denominator = n.denominator;
    r->at = from;
    return convert(r, q);
}

enum bt_status bt_quantity_parse(const char *text, size_t length, enum bt_dimension dim,
                                 enum bt_unit unit, bool decimal_comma,
                                 struct bt_quantity *out, struct bt_error *err)
{
    struct bt_reader r = {text, text, text, dim, decimal_comma, err};
    struct bt_quantity q;
    enum bt_status status;

    if (!out || (!text && length > 0))
        return bt_error_set(err, BT_ECALL, 0, 0, "a quantity without text or room");
    if ((int)dim < 0 || dim > BT_DIM_DENSITY || (int)unit < 0 ||
        unit >= BT_UNIT_COUNT || !fits(unit, dim))
        return bt_error_set(
            err, BT_ECALL, 0, 0,
            "the unit of bare numbers does not belong to the dimension");
    if (dim == BT_DIM_NUMBER)
        unit = BT_UNIT_ONE;
    if (!text)
        r.text = r.at = "";
    r.end = r.text + length;
    status = read_whole(&r, unit, &q);
    if (status == BT_OK)
        *out = q;
    else if (bt_is_date(r.text, length)) {
        /* Asked last, as no date reads as a quantity; the answer goes first. */
        r.at = r.text;
        bt_skip_blanks(&r);
        return bt_refuse(
            &r, "a date",
            /* Only lengths and bare numbers are written as fractions. */
            dim == BT_DIM_LENGTH || dim == BT_DIM_NUMBER
                ? "a spreadsheet made it of a fraction such as 3/16: make the column "
                  "text and write the fraction again"
                : NULL);
    }
    return status;
}
