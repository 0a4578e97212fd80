/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/base/print.h"

#include <criterion/criterion.h>
#include <locale.h>
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "benchtrue/base/quantity.h"

#define IN 25.4
#define THOU 0.0254
#define DEG (3.14159265358979323846 / 180)

static const enum bt_system mm = BT_SYSTEM_MM, inch = BT_SYSTEM_IN;
static const enum bt_length_style rule = BT_LENGTH_RULE, feeler = BT_LENGTH_FEELER;

static void length_is(double value, double u, enum bt_system system,
                      enum bt_length_style style, const char *want)
{
    char out[BT_PRINT_ROOM];

    bt_print_length(out, value, u, system, style);
    cr_expect(strcmp(out, want) == 0, "want '%s', got '%s'", want, out);
}

Test(print, gives_millimetres_no_more_digits_than_u_carries)
{
    length_is(1234.5678, 0.3, mm, feeler, "1234.6 mm");
    length_is(1234.5678, 0.19, mm, feeler, "1234.57 mm");
    length_is(1234.5678, 0.2, mm, feeler, "1234.6 mm");
    length_is(1234.5678, 0.00004, mm, feeler, "1234.568 mm");
    length_is(1234.5678, 3, mm, rule, "1235 mm");
    length_is(1234.5678, 15, mm, rule, "1235 mm");
    length_is(1234.5678, 20, mm, rule, "1230 mm");
    length_is(1254.5678, 500, mm, rule, "1300 mm");
}

Test(print, keeps_the_zeros_that_u_carries_and_drops_them_where_it_is_exact)
{
    length_is(0.25, 0.002, mm, feeler, "0.250 mm");
    length_is(0.25, 0, mm, feeler, "0.25 mm");
    length_is(1200, 0, mm, rule, "1200 mm");
    length_is(1200, NAN, mm, rule, "1200 mm");
    length_is(1200.126, -1, mm, rule, "1200.13 mm");
    length_is(12 * THOU, 0, inch, feeler, "12 thou");
    length_is(12.5 * THOU, 0, inch, feeler, "12.5 thou");
}

Test(print, gives_thou_to_a_tenth_at_the_finest)
{
    length_is(12.5 * THOU, 0.01 * THOU, inch, feeler, "12.5 thou");
    length_is(12 * THOU, 0.3 * THOU, inch, feeler, "12.0 thou");
    length_is(12.4 * THOU, 2 * THOU, inch, feeler, "12 thou");
    length_is(-3456 * THOU, 40 * THOU, inch, feeler, "-3460 thou");
}

Test(print, gives_inches_in_lowest_terms_to_a_64th)
{
    length_is(17.875 * IN, 0, inch, rule, "17 7/8 in");
    length_is(-17.875 * IN, 0, inch, rule, "-17 7/8 in");
    length_is(0.875 * IN, 0, inch, rule, "7/8 in");
    length_is(-0.5 * IN, 0, inch, rule, "-1/2 in");
    length_is(17 * IN, 0, inch, rule, "17 in");
    length_is(0, 0, inch, rule, "0 in");
    length_is((3 + 1.0 / 64) * IN, 0, inch, rule, "3 1/64 in");
    length_is(3.999 * IN, 0, inch, rule, "4 in");
}

Test(print, rounds_inches_to_the_largest_binary_fraction_within_two_u)
{
    double value = (17 + 59.0 / 64) * IN;

    length_is(value, IN / 128, inch, rule, "17 59/64 in");
    length_is(value, IN / 64, inch, rule, "17 15/16 in");
    length_is(value, IN / 16, inch, rule, "17 7/8 in");
    length_is(value, IN / 4.0001, inch, rule, "18 in");
    length_is(17.3 * IN, IN / 4, inch, rule, "17 1/2 in");
    length_is(17.3 * IN, IN, inch, rule, "17 in");
    length_is(17.3 * IN, 30 * IN, inch, rule, "20 in");
}

Test(print, never_signs_a_zero)
{
    length_is(-0.004, 0, mm, feeler, "0 mm");
    length_is(-0.04, 0.3, mm, feeler, "0.0 mm");
    length_is(-0.0, 0, mm, rule, "0 mm");
    length_is(-0.1, 0, inch, rule, "0 in");
    length_is(-0.0001, 0, inch, feeler, "0 thou");
    length_is(-3, 200, mm, rule, "0 mm");
}

Test(print, shows_what_is_no_number_as_a_question_mark)
{
    length_is(NAN, 0, mm, rule, "?");
    length_is(INFINITY, 0.1, inch, rule, "?");
    length_is(-INFINITY, 0.1, inch, feeler, "?");
    length_is(5, INFINITY, mm, rule, "?");
    length_is(1e307, 0, inch, feeler, "?");
}

Test(print, keeps_to_its_room_at_any_size)
{
    length_is(1.5e20, 0, mm, rule, "15e19 mm");
    length_is(-1.7976931348623157e308, 0, mm, feeler, "-179769313486232e294 mm");
    length_is(1.5e20, 3e19, mm, rule, "15e19 mm");
    length_is(1.5e20, 1e22, mm, rule, "0 mm");
    length_is(2.5e14, 0.001, mm, rule, "250000000000000 mm");
    length_is(2.5e12 + 0.25, 0.001, mm, rule, "2500000000000.25 mm");
    length_is(1e20 * IN, 0, inch, rule, "1e20 in");
}

Test(print, writes_the_number_alone_with_the_unit_of_its_column)
{
    char out[BT_PRINT_ROOM];

    cr_expect(strcmp(bt_print_length_bare(out, 0.25, 0, mm, feeler), "0.25") == 0);
    cr_expect(strcmp(bt_print_length_bare(out, 5.5 * IN, 0, inch, rule), "5 1/2") == 0);
    cr_expect(strcmp(bt_length_unit_name(mm, rule), "mm") == 0);
    cr_expect(strcmp(bt_length_unit_name(mm, feeler), "mm") == 0);
    cr_expect(strcmp(bt_length_unit_name(inch, rule), "in") == 0);
    cr_expect(strcmp(bt_length_unit_name(inch, feeler), "thou") == 0);
}

static void u_is(double u, enum bt_system system, const char *want)
{
    char out[BT_PRINT_ROOM];

    bt_print_u_bare(out, u, system);
    cr_expect(strcmp(out, want) == 0, "want '%s', got '%s'", want, out);
}

Test(print, rounds_an_uncertainty_up)
{
    u_is(0.021, mm, "0.03");
    u_is(0.02, mm, "0.02");
    u_is(0.3, mm, "0.3");
    u_is(0.0141, mm, "0.015");
    u_is(0.014, mm, "0.014");
    u_is(0.00004, mm, "0.001");
    u_is(41, mm, "50");
    u_is(140.5, mm, "150");
    u_is(0.96, mm, "1.0");
    u_is(0.3 * THOU, inch, "0.3");
    u_is(2.01 * THOU, inch, "3");
    u_is(0, mm, "0");
    u_is(NAN, mm, "?");
    u_is(INFINITY, mm, "?");
    u_is(-0.1, mm, "?");
}

Test(print, gives_angles_in_degrees)
{
    static const struct {
        double deg, u;
        const char *want;
    } rows[] = {
        {0.25, 0, "0.25 deg"},
        {0.25, 0.03, "0.25 deg"},
        {0.2504, 1e-5, "0.250 deg"},
        {-0.254, 0.2, "-0.3 deg"},
        {90, 0, "90 deg"},
        {-0.001, 0, "0 deg"},
        {NAN, 0, "?"},
        {1, INFINITY, "?"},
    };
    char out[BT_PRINT_ROOM];

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        bt_print_angle(out, rows[i].deg * DEG, rows[i].u * DEG);
        cr_expect(strcmp(out, rows[i].want) == 0, "want '%s', got '%s'", rows[i].want,
                  out);
    }
}

Test(print, never_rounds_a_share_to_certainty)
{
    static const struct {
        double share;
        const char *want;
    } rows[] = {
        {0.953, "95 %"},   {0.9949, "99 %"}, {0.996, "> 99 %"}, {1, "100 %"},
        {0.0049, "< 1 %"}, {0.006, "1 %"},   {0, "0 %"},        {1e-300, "< 1 %"},
        {NAN, "?"},        {1.01, "?"},      {-0.01, "?"},
    };
    char out[BT_PRINT_ROOM];

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        bt_print_share(out, rows[i].share);
        cr_expect(strcmp(out, rows[i].want) == 0, "want '%s', got '%s'", rows[i].want,
                  out);
    }
}

static double uniform(uint64_t *state)
{
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    return (double)(*state >> 11) / 9007199254740992.0;
}

/* Digits printed: those from the first that is not 0, without trailing ones that
 * only hold a place before the point. */
static int significant(const char *text)
{
    int all = 0, zeros = 0;
    bool point = false;

    for (; (*text >= '0' && *text <= '9') || *text == '.' || *text == '-'; text++) {
        point = point || *text == '.';
        if (*text < '0' || (all == 0 && *text == '0'))
            continue;
        all++;
        zeros = *text == '0' ? zeros + 1 : 0;
    }
    return point ? all : all - zeros;
}

Test(print, reads_back_as_the_same_value_to_the_printed_step)
{
    uint64_t state = 20260317;
    char out[BT_PRINT_ROOM];
    struct bt_quantity q;
    struct bt_error err;

    for (int i = 0; i < 40000; i++) {
        enum bt_system system = i % 2 ? inch : mm;
        enum bt_length_style style = i % 4 < 2 ? rule : feeler;
        double value = (uniform(&state) - 0.5) * pow(10, 8 * uniform(&state) - 3);
        double u = i % 8 < 2 ? 0 : pow(10, 7 * uniform(&state) - 5);
        double step, tolerance;

        bt_print_length(out, value, u, system, style);
        cr_assert(bt_quantity_parse(out, strlen(out), BT_DIM_LENGTH, BT_UNIT_NONE,
                                    false, &q, &err) == BT_OK,
                  "%s: %s", out, err.message);
        /* A zero before the point does not say that it holds a place; a whole
         * inch does not say that it was rounded to a fraction. */
        step = q.step;
        if (system == inch && style == rule && u < 10 * IN)
            step = u > 0 ? fmax(fmin(2 * u, IN), IN / 64) : IN / 64;
        else if (u > 0)
            step = fmax(step, u);
        tolerance = step / 2 * (1 + 1e-9);
        cr_assert(fabs(q.value - value) <= tolerance, "%s from %.17g, u %g", out, value,
                  u);
        if (u > 0 && !(system == inch && style == rule))
            cr_assert(q.step >= u / 20 || !strchr(out, '.'), "%s with u %g", out, u);
        if (u > 0 && fabs(value) > 0 && !(system == inch && style == rule))
            cr_assert(significant(out) <= 2 + fmax(0, log10(fabs(value) / u) + 1),
                      "%s with u %g", out, u);
    }
}

Test(print, does_not_ask_the_locale)
{
    static const char *const names[] = {"de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8",
                                        "de_DE"};

    /* Where none of them is installed this repeats the C locale. */
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++)
        if (setlocale(LC_ALL, names[i]))
            break;
    length_is(0.25, 0, mm, feeler, "0.25 mm");
    setlocale(LC_ALL, "C");
}
