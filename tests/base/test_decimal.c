/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/decimal.h"

#include <criterion/criterion.h>
#include <float.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static uint64_t next(uint64_t *state)
{
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    return *state;
}

static size_t random_digits(char *to, uint64_t *state, size_t most)
{
    size_t n = next(state) % most;

    for (size_t i = 0; i < n; i++)
        to[i] = (char)('0' + next(state) % 10);
    return n;
}

/* Mostly short, as people type; some long, some with exponents over the whole
 * range, some halfway between two doubles. */
static size_t random_decimal(char text[1300], uint64_t *state)
{
    uint64_t kind = next(state) % 256;
    size_t n = 0, most = kind < 240 ? 9 : 30;
    double d;

    if (kind == 255) { /* halfway: the longest have some 770 digits */
        uint64_t bits = next(state) % (UINT64_C(0x7FD) << 52);
        memcpy(&d, &bits, sizeof d);
        return (size_t)snprintf(text, 1300, "%.*Le", (int)(next(state) % 800),
                                ((long double)d + (long double)nextafter(d, DBL_MAX)) /
                                    2);
    }
    if (kind == 254) { /* about the smallest */
        d = ldexp((double)(next(state) % 1000), -1074);
        return (size_t)snprintf(text, 1300, "%.*e", (int)(next(state) % 30), d);
    }
    n = random_digits(text, state, most);
    text[n++] = (char)('0' + next(state) % 10);
    if (kind & 1) {
        text[n++] = '.';
        n += random_digits(text + n, state, most);
    }
    if (kind >= 236 && kind < 250)
        n += (size_t)snprintf(text + n, 9, "e%d", (int)(next(state) % 680) - 340);
    text[n] = '\0';
    return n;
}

Test(decimal, rounds_a_million_decimals_as_strtod_does)
{
    uint64_t state = 20260412;
    char text[1300], *end;
    struct bt_decimal d;

    /* Criterion runs in the C locale. */
    for (int i = 0; i < 1000000; i++) {
        size_t n = random_decimal(text, &state);
        size_t used = bt_decimal_read(text, n, false, &d);
        double want = strtod(text, &end);
        cr_assert(used == (size_t)(end - text), "%s", text);
        if (d.range == BT_DECIMAL_FITS)
            cr_assert(d.value == want, "%s: %a, not %a", text, d.value, want);
        else if (d.range == BT_DECIMAL_SMALL)
            cr_assert(want == 0, "%s", text);
        else
            cr_assert(want > DBL_MAX || d.step > DBL_MAX, "%s", text);
    }
}

Test(decimal, rounds_the_hard_decimals)
{
    static const char *const hard[] = {
        "9007199254740993",
        "9007199254740993.0",
        "9007199254740995.0",
        "9007199254740995",
        "9007199254740992.99999999999999999",
        "2.2250738585072011e-308",
        "2.2250738585072012e-308",
        "4.9406564584124654e-324",
        "2.4703282292062328e-324",
        "1.7976931348623157e308",
        "1.7976931348623158e308",
        "0.1000000000000000055511151231257827021181583404541015625",
        "8.41e21",
        "9.5e-22",
        "1e23",
        "123456789012345678e-19",
        "18446744073709551615e-1",
        "0.0000000000000000000000000000000000000000012345678901234567890",
    };
    struct bt_decimal d;

    for (size_t i = 0; i < sizeof hard / sizeof hard[0]; i++) {
        cr_expect(bt_decimal_read(hard[i], strlen(hard[i]), false, &d) ==
                  strlen(hard[i]));
        cr_expect(d.range == BT_DECIMAL_FITS && d.value == strtod(hard[i], NULL),
                  "%s: %a", hard[i], d.value);
    }
    cr_expect(bt_decimal_read("2.4703282292062327e-324", 23, false, &d) == 23);
    cr_expect(d.range == BT_DECIMAL_SMALL);
    cr_expect(bt_decimal_read("1.7976931348623159e308", 22, false, &d) == 22);
    cr_expect(d.range == BT_DECIMAL_LARGE);
    cr_expect(bt_power_of_ten(-5) == 1e-5 && bt_power_of_ten(300) == 1e300);
    cr_expect(bt_power_of_ten(309) > DBL_MAX && bt_power_of_ten(-400) == 0);
}

Test(decimal, keeps_ties_with_a_digit_far_behind)
{
    static char text[2000];
    struct bt_decimal d;

    /* 2^53 + 1 lies halfway; a 1 after 1500 zeros decides upwards */
    memset(text, '0', sizeof text);
    memcpy(text, "9007199254740993.", 17);
    cr_expect(bt_decimal_read(text, 1600, false, &d) == 1600);
    cr_expect(d.value == 9007199254740992.0, "even");
    text[1599] = '1';
    cr_expect(bt_decimal_read(text, 1600, false, &d) == 1600);
    cr_expect(d.value == 9007199254740994.0, "up");
}
