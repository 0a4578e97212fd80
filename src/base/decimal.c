/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "base/decimal.h"

#include <float.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

/*
 * Three ways, fastest first: one multiplication or division of exact doubles,
 * one division of 128 by 64 bits, long division of big integers.  All give the
 * nearest double.
 */

/* A double needs no more digits than this (768) to be told from its neighbour;
 * what lies beyond only has to be known as "zero" or "not zero". */
enum { DIGIT_MAX = 800 };

/* Room for 10^1131, the denominator of 800 digits at the smallest double. */
enum { LIMBS = 128 };

struct big {
    uint32_t limb[LIMBS];
    size_t n;
};

/* b * factor + add */
static void big_step(struct big *b, uint32_t factor, uint32_t add)
{
    uint64_t carry = add;
    size_t i;

    for (i = 0; i < b->n; i++) {
        carry += (uint64_t)b->limb[i] * factor;
        b->limb[i] = (uint32_t)carry;
        carry >>= 32;
    }
    if (carry && b->n < LIMBS)
        b->limb[b->n++] = (uint32_t)carry;
}

static void big_times_power(struct big *b, long power)
{
    for (; power >= 9; power -= 9)
        big_step(b, 1000000000, 0);
    for (; power > 0; power--)
        big_step(b, 10, 0);
}

static long big_bits(const struct big *b)
{
    long bits = 32 * (long)b->n;
    uint32_t top = b->limb[b->n - 1];

    for (; !(top & UINT32_C(0x80000000)); top <<= 1)
        bits--;
    return bits;
}

static void big_shift(struct big *b, long bits)
{
    size_t limbs = (size_t)bits / 32;

    if (limbs) {
        memmove(b->limb + limbs, b->limb, b->n * sizeof b->limb[0]);
        memset(b->limb, 0, limbs * sizeof b->limb[0]);
        b->n += limbs;
    }
    if (bits % 32)
        big_step(b, UINT32_C(1) << (bits % 32), 0);
}

static int big_compare(const struct big *a, const struct big *b)
{
    size_t i;

    if (a->n != b->n)
        return a->n < b->n ? -1 : 1;
    for (i = a->n; i-- > 0;)
        if (a->limb[i] != b->limb[i])
            return a->limb[i] < b->limb[i] ? -1 : 1;
    return 0;
}

/* a - b, a not less than b */
static void big_subtract(struct big *a, const struct big *b)
{
    uint64_t borrow = 0;
    size_t i;

    for (i = 0; i < a->n; i++) {
        uint64_t take = borrow + (i < b->n ? b->limb[i] : 0);
        borrow = a->limb[i] < take;
        a->limb[i] = (uint32_t)(a->limb[i] - take);
    }
    while (a->n && a->limb[a->n - 1] == 0)
        a->n--;
}

/* The nearest double to num / den, both not 0. */
static double big_divide(struct big *num, struct big *den)
{
    long binary = big_bits(num) - big_bits(den), bits = DBL_MANT_DIG, i;
    uint64_t q = 0;
    int half;

    big_shift(binary > 0 ? den : num, binary > 0 ? binary : -binary);
    if (big_compare(num, den) < 0) {
        big_step(num, 2, 0);
        binary--;
    }
    /* Now 1 <= num / den < 2; below DBL_MIN a double has fewer bits. */
    if (binary < DBL_MIN_EXP - 1)
        bits -= DBL_MIN_EXP - 1 - binary;
    if (bits < 0)
        return 0;
    for (i = 0; i < bits; i++) {
        bool one = big_compare(num, den) >= 0;
        q = q << 1 | one;
        if (one)
            big_subtract(num, den);
        big_step(num, 2, 0);
    }
    half = big_compare(num, den);
    if (half > 0 || (half == 0 && (q & 1)))
        q++;
    return ldexp((double)q, (int)(binary - bits + 1));
}

/*
 * What the characters say: the significant digits (from the first that is not
 * 0), with points and commas between them, times 10^last.
 */
struct scan {
    const char *digit; /* NULL: all are 0 */
    size_t count;      /* significant digits */
    long long last;
    uint64_t lead; /* the first 19 of them */
};

static double exactly(const struct scan *s)
{
    struct big num = {{0}, 0}, den = {{1}, 1};
    size_t used = s->count < DIGIT_MAX ? s->count : DIGIT_MAX, seen = 0;
    long power = (long)(s->last + (long long)(s->count - used));
    const char *at = s->digit;
    bool rest = false;

    for (; seen < s->count; at++) {
        if (*at < '0' || *at > '9')
            continue;
        if (seen++ >= used)
            rest = rest || *at != '0';
        else if (num.n == 0)
            num.limb[num.n++] = (uint32_t)(*at - '0');
        else
            big_step(&num, 10, (uint32_t)(*at - '0'));
    }
    if (rest) {
        big_step(&num, 10, 1);
        power--;
    }
    big_times_power(power < 0 ? &den : &num, power < 0 ? -power : power);
    return big_divide(&num, &den);
}

static const double powers[] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,
                                1e8,  1e9,  1e10, 1e11, 1e12, 1e13, 1e14, 1e15,
                                1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};
enum { POWER_MAX = 22 };

#ifdef __SIZEOF_INT128__
__extension__ typedef unsigned __int128 wide;

/* lead / 10^k, k from 1 to 19, from the exact quotient and its remainder. */
static double by_wide(uint64_t lead, int k)
{
    uint64_t divisor = 1, mantissa;
    wide n, q, cut, rest;
    int up = 64, drop = 0;

    for (; k > 0; k--)
        divisor *= 10;
    for (n = (wide)lead << 64; !(n >> 127); n <<= 1)
        up++;
    q = n / divisor;
    for (cut = q; cut >> DBL_MANT_DIG; cut >>= 1)
        drop++;
    mantissa = (uint64_t)cut;
    rest = q - (cut << drop);
    cut = (wide)1 << (drop - 1);
    /* rest against one half of what was cut, the remainder breaking a tie */
    if (rest > cut || (rest == cut && (n % divisor != 0 || (mantissa & 1))))
        mantissa++;
    return ldexp((double)mantissa, drop - up);
}
#endif

static double nearest_double(const struct scan *s)
{
    if (s->count <= 15 || (s->count <= 19 && s->lead <= UINT64_C(1) << DBL_MANT_DIG)) {
        if (s->last >= 0 && s->last <= POWER_MAX)
            return (double)s->lead * powers[s->last];
        if (s->last < 0 && s->last >= -POWER_MAX)
            return (double)s->lead / powers[-s->last];
    }
#ifdef __SIZEOF_INT128__
    if (s->count <= 19 && s->last < 0 && s->last >= -19)
        return by_wide(s->lead, (int)-s->last);
#endif
    return exactly(s);
}

double bt_power_of_ten(int n)
{
    struct scan one = {"1", 1, n, 1};

    if (n > DBL_MAX_10_EXP)
        return HUGE_VAL;
    return n < -330 ? 0 : nearest_double(&one);
}

static bool is_digit(const char *at, const char *end)
{
    return at < end && *at >= '0' && *at <= '9';
}

/* Digits from at: how many, and into the scan. */
static const char *digits(const char *at, const char *end, struct scan *s)
{
    for (; is_digit(at, end); at++) {
        if (!s->digit && *at == '0')
            continue;
        if (!s->digit)
            s->digit = at;
        if (s->count++ < 19)
            s->lead = s->lead * 10 + (uint64_t)(*at - '0');
    }
    return at;
}

/* `e-3`, if it is one: after it, with its number in *power; else at. */
static const char *exponent(const char *at, const char *end, long long *power)
{
    const char *p = at;
    bool minus;
    long long n = 0;

    if (p == end || (*p != 'e' && *p != 'E'))
        return at;
    p++;
    minus = p < end && *p == '-';
    if (p < end && (*p == '-' || *p == '+'))
        p++;
    if (!is_digit(p, end))
        return at;
    for (; is_digit(p, end); p++)
        if (n < INT64_C(1000000000000))
            n = n * 10 + (*p - '0');
    *power = minus ? -n : n;
    return p;
}

static void finish(const struct scan *s, struct bt_decimal *out)
{
    long long top = s->last + (long long)s->count; /* value < 10^top */

    out->value = 0;
    out->range = BT_DECIMAL_FITS;
    out->step = s->last > DBL_MAX_10_EXP ? HUGE_VAL : DBL_MIN;
    if (s->last <= DBL_MAX_10_EXP && s->last >= DBL_MIN_10_EXP)
        out->step = bt_power_of_ten((int)s->last);
    if (s->digit && top > DBL_MAX_10_EXP + 1)
        out->value = HUGE_VAL;
    else if (s->digit && top >= -330)
        out->value = nearest_double(s);
    if (!(out->value <= DBL_MAX && out->step <= DBL_MAX))
        out->range = BT_DECIMAL_LARGE;
    else if (s->digit && !(out->value > 0))
        out->range = BT_DECIMAL_SMALL;
}

size_t bt_decimal_read(const char *text, size_t length, bool comma,
                       struct bt_decimal *out)
{
    const char *end = text + length, *at, *point, *after;
    struct scan s = {NULL, 0, 0, 0};
    long long power = 0;

    at = point = digits(text, end, &s);
    if (at < end && (*at == '.' || (comma && *at == ','))) {
        after = digits(at + 1, end, &s);
        if (after == at + 1 && point == text)
            return 0;
        s.last = -(long long)(after - at - 1);
        at = after;
    }
    if (at == text)
        return 0;
    after = exponent(at, end, &power);
    out->whole = after == point;
    s.last += power;
    finish(&s, out);
    return (size_t)(after - text);
}
