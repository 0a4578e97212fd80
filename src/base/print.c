/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/base/print.h"

#include <float.h>
#include <math.h>
#include <stdbool.h>
#include <string.h>

#include "base/decimal.h"
#include "benchtrue/base/quantity.h"

/* A number that came through a change of unit may be off in its last bits; this
 * much of it does not move a digit. */
#define SLACK 1e-12

/* Counts up to this are whole numbers that a double and a long long hold. */
#define COUNT_MAX 1e15

/* What is printed exactly, and never finer than: powers of ten of the unit. */
struct grain {
    enum bt_unit unit;
    int exact, finest;
};

static const struct grain grain_mm = {BT_UNIT_MM, -2, -3};
static const struct grain grain_thou = {BT_UNIT_THOU, -1, -1};
static const struct grain grain_deg = {BT_UNIT_DEG, -2, -3};

enum { SIXTY_FOURTHS = 64 };

/* value * 10^n; by division where 10^n itself would be rounded. */
static double scaled(double value, int n)
{
    return n < 0 ? value / bt_power_of_ten(-n) : value * bt_power_of_ten(n);
}

static char *put_text(char *to, const char *text)
{
    size_t n = strlen(text);

    memcpy(to, text, n + 1);
    return to + n;
}

static char *put_count(char *to, long long n)
{
    char digits[24];
    size_t i = sizeof digits;

    digits[--i] = '\0';
    do
        digits[--i] = (char)('0' + n % 10);
    while (n /= 10);
    return put_text(to, digits + i);
}

/* n * 10^last, n >= 0, last <= 0, with a point; trailing zeros dropped where drop is
 * set. */
static char *put_fixed(char *to, long long n, int last, bool drop)
{
    long long scale = 1;

    for (; drop && last < 0 && n % 10 == 0; last++)
        n /= 10;
    for (int i = last; i < 0; i++)
        scale *= 10;
    to = put_count(to, n / scale);
    if (last == 0)
        return to;
    *to++ = '.';
    for (n %= scale; scale > 1; n %= scale) {
        scale /= 10;
        *to++ = (char)('0' + n / scale);
    }
    *to = '\0';
    return to;
}

/* Sizes from COUNT_MAX: `12345e15`, which reads back. */
static char *put_large(char *to, double size, int last)
{
    int power = (int)floor(log10(size)) - 14;
    long long n;

    if (power < last)
        power = last;
    n = llround(scaled(size, -power));
    for (; n && n % 10 == 0; power++)
        n /= 10;
    to = put_count(to, n);
    if (n == 0)
        return to;
    *to++ = 'e';
    return put_count(to, power);
}

/* value to 10^last. */
static char *put_number(char *to, double value, int last, bool drop)
{
    double size = fabs(value), count = scaled(size, -last);
    long long n;

    while (last < 0 && !(count < COUNT_MAX)) {
        last++;
        count = scaled(size, -last);
    }
    if (!(size < COUNT_MAX)) {
        if (value < 0 && size >= bt_power_of_ten(last) / 2)
            *to++ = '-';
        return put_large(to, size, last);
    }
    n = llround(count);
    if (value < 0 && n > 0)
        *to++ = '-';
    if (last <= 0)
        return put_fixed(to, n, last, drop);
    to = put_count(to, n);
    for (; n > 0 && last > 0; last--)
        to = put_text(to, "0");
    return to;
}

/* Power of ten of the last digit that u carries: of its first significant digit,
 * of its second where the first is 1. */
static int last_digit(double u, int finest)
{
    int power = (int)floor(log10(u));

    /* log10 may be off by one at a power of ten */
    u *= 1 + SLACK;
    if (u < bt_power_of_ten(power))
        power--;
    else if (u >= bt_power_of_ten(power + 1))
        power++;
    if (u < 2 * bt_power_of_ten(power))
        power--;
    return power > finest ? power : finest;
}

static char *put_grain(char *to, double value, double u, const struct grain *g)
{
    bool exact = !(u > 0);

    return put_number(to, value, exact ? g->exact : last_digit(u, g->finest), exact);
}

/* 1, 2 ... 64: parts of an inch that u carries. */
static int rule_parts(double u)
{
    int parts = 1;

    if (!(u > 0))
        return SIXTY_FOURTHS;
    while (parts < SIXTY_FOURTHS && 1.0 / parts > 2 * u * (1 + SLACK))
        parts *= 2;
    return parts;
}

/* Inches as on a rule. */
static char *put_rule(char *to, double inches, double u)
{
    long long parts = rule_parts(u), n;

    if (!(fabs(inches) < COUNT_MAX / SIXTY_FOURTHS) || u >= 10)
        return put_number(to, inches, u > 0 ? last_digit(u, 0) : 0, false);
    n = llround(fabs(inches) * (double)parts);
    if (inches < 0 && n > 0)
        *to++ = '-';
    for (; parts > 1 && n % 2 == 0; parts /= 2)
        n /= 2;
    if (n / parts > 0 || n == 0)
        to = put_count(to, n / parts);
    if (n % parts == 0)
        return to;
    if (n > parts)
        *to++ = ' ';
    to = put_count(to, n % parts);
    *to++ = '/';
    return put_count(to, parts);
}

const char *bt_length_unit_name(enum bt_system system, enum bt_length_style style)
{
    if (system == BT_SYSTEM_MM)
        return bt_unit_name(BT_UNIT_MM);
    return bt_unit_name(style == BT_LENGTH_RULE ? BT_UNIT_IN : BT_UNIT_THOU);
}

const char *bt_print_length_bare(char out[BT_PRINT_ROOM], double mm, double u_mm,
                                 enum bt_system system, enum bt_length_style style)
{
    const struct grain *g = system == BT_SYSTEM_MM ? &grain_mm : &grain_thou;
    bool rule = system != BT_SYSTEM_MM && style == BT_LENGTH_RULE;
    enum bt_unit unit = rule ? BT_UNIT_IN : g->unit;
    double value = bt_unit_from_inside(mm, unit), u = bt_unit_from_inside(u_mm, unit);

    if (!isfinite(value) || (isinf(u) && u > 0))
        put_text(out, "?");
    else if (rule)
        put_rule(out, value, u);
    else
        put_grain(out, value, u, g);
    return out;
}

const char *bt_print_length(char out[BT_PRINT_ROOM], double mm, double u_mm,
                            enum bt_system system, enum bt_length_style style)
{
    char *end;

    bt_print_length_bare(out, mm, u_mm, system, style);
    if (strcmp(out, "?") == 0)
        return out;
    end = put_text(out + strlen(out), " ");
    put_text(end, bt_length_unit_name(system, style));
    return out;
}

const char *bt_print_u_bare(char out[BT_PRINT_ROOM], double u_mm, enum bt_system system)
{
    const struct grain *g = system == BT_SYSTEM_MM ? &grain_mm : &grain_thou;
    double u = bt_unit_from_inside(u_mm, g->unit), size;
    int last;

    if (!(u >= 0 && u <= DBL_MAX))
        return put_text(out, "?"), out;
    if (!(u > 0))
        return put_text(out, "0"), out;
    last = last_digit(u, g->finest);
    size = ceil(scaled(u, -last) * (1 - SLACK));
    put_number(out, scaled(size, last), last, false);
    return out;
}

const char *bt_print_angle(char out[BT_PRINT_ROOM], double rad, double u_rad)
{
    double value = bt_unit_from_inside(rad, BT_UNIT_DEG);
    double u = bt_unit_from_inside(u_rad, BT_UNIT_DEG);

    if (!isfinite(value) || (isinf(u) && u > 0))
        return put_text(out, "?"), out;
    put_text(put_grain(out, value, u, &grain_deg), " deg");
    return out;
}

const char *bt_print_share(char out[BT_PRINT_ROOM], double share)
{
    long long percent;

    if (!(share >= 0 && share <= 1))
        return put_text(out, "?"), out;
    percent = llround(100 * share);
    if (percent == 0 && share > 0)
        put_text(out, "< 1 %");
    else if (percent == 100 && share < 1)
        put_text(out, "> 99 %");
    else
        put_text(put_count(out, percent), " %");
    return out;
}
