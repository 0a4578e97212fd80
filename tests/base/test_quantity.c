/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/base/quantity.h"

#include <criterion/criterion.h>
#include <float.h>
#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define IN 25.4
#define DEG (3.14159265358979323846 / 180)
/* 0.45359237 kg x 9.80665 m/s2: NIST SP 811 (2008), Appendix B.8 */
#define LBF 4.4482216152605

static enum bt_status parse(const char *text, enum bt_dimension dim, enum bt_unit unit,
                            struct bt_quantity *q, struct bt_error *err)
{
    return bt_quantity_parse(text, strlen(text), dim, unit, false, q, err);
}

struct row {
    const char *text;
    double value, step;
    enum bt_unit unit;
};

/* Values to a few units in the last place: a unit is one product, one quotient. */
static void reads_all(size_t n, const struct row rows[], enum bt_dimension dim,
                      enum bt_unit bare)
{
    struct bt_error err = {0};
    struct bt_quantity q;

    for (size_t i = 0; i < n; i++) {
        const struct row *r = &rows[i];
        bool typed = r->unit != BT_UNIT_NONE;
        cr_expect(parse(r->text, dim, bare, &q, &err) == BT_OK, "%s: %s", r->text,
                  err.message);
        cr_expect(fabs(q.value - r->value) <= 4 * DBL_EPSILON * fabs(r->value),
                  "%s: %.17g, not %.17g", r->text, q.value, r->value);
        cr_expect(fabs(q.step - r->step) <= 1e-13 * r->step, "%s: step %.17g", r->text,
                  q.step);
        cr_expect(q.unit == (typed ? r->unit : bare), "%s: unit %s", r->text,
                  bt_unit_name(q.unit));
        cr_expect(q.unit_typed == typed, "%s: typed", r->text);
    }
}
#define READS_ALL(rows, dim, bare)                                                     \
    reads_all(sizeof(rows) / sizeof(rows)[0], rows, dim, bare)

Test(quantity, reads_fractions_of_an_inch_in_every_way_they_are_written)
{
    static const struct row rows[] = {
        {"17 7/8", 17.875 * IN, IN / 8, 0},
        {"17-7/8 in", 17.875 * IN, IN / 8, BT_UNIT_IN},
        {"17\xE2\x80\x91"
         "7/8 in",
         17.875 * IN, IN / 8, BT_UNIT_IN},
        {"17 7/8in", 17.875 * IN, IN / 8, BT_UNIT_IN},
        {"17.875\"", 17.875 * IN, IN / 1000, BT_UNIT_IN},
        {"17 7/8\xE2\x80\xB3", 17.875 * IN, IN / 8, BT_UNIT_IN},
        {"17 7/8\xE2\x80\x9D", 17.875 * IN, IN / 8, BT_UNIT_IN},
        {"17 7/8''", 17.875 * IN, IN / 8, BT_UNIT_IN},
        {"17 7\xE2\x81\x84"
         "8 in",
         17.875 * IN, IN / 8, BT_UNIT_IN},
        {"17\xC2\xBD in", 17.5 * IN, IN / 2, BT_UNIT_IN},
        {"17 \xC2\xBD in", 17.5 * IN, IN / 2, BT_UNIT_IN},
        {"17\xC2\xA0\xC2\xBD\xC2\xA0in", 17.5 * IN, IN / 2, BT_UNIT_IN},
        {"\xC2\xBC", 0.25 * IN, IN / 4, 0},
        {"7/8", 0.875 * IN, IN / 8, 0},
        {"9/8", 1.125 * IN, IN / 8, 0},
        {"0 0/64", 0, IN / 64, 0},
        {"1/1024 in", IN / 1024, IN / 1024, BT_UNIT_IN},
        {"3/1 in", 3 * IN, IN, BT_UNIT_IN},
        {"1/3 in", IN / 3, IN / 3, BT_UNIT_IN},
        {"\t 17 7/8 inches\r\n", 17.875 * IN, IN / 8, BT_UNIT_IN},
        {"\xEF\xBB\xBF"
         "5 Inch",
         5 * IN, IN, BT_UNIT_IN},
    };

    READS_ALL(rows, BT_DIM_LENGTH, BT_UNIT_IN);
}

Test(quantity, reads_each_fraction_that_is_one_character)
{
    static const struct {
        const char *text;
        double over, under;
    } rows[] = {
        {"\xC2\xBD", 1, 2},     {"\xC2\xBC", 1, 4},     {"\xC2\xBE", 3, 4},
        {"\xE2\x85\x9B", 1, 8}, {"\xE2\x85\x9C", 3, 8}, {"\xE2\x85\x9D", 5, 8},
        {"\xE2\x85\x9E", 7, 8}, {"\xE2\x85\x93", 1, 3}, {"\xE2\x85\x94", 2, 3},
        {"\xE2\x85\x95", 1, 5}, {"\xE2\x85\x96", 2, 5}, {"\xE2\x85\x97", 3, 5},
        {"\xE2\x85\x98", 4, 5}, {"\xE2\x85\x99", 1, 6}, {"\xE2\x85\x9A", 5, 6},
        {"\xE2\x85\x90", 1, 7}, {"\xE2\x85\x91", 1, 9}, {"\xE2\x85\x92", 1, 10},
    };
    struct bt_quantity q;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        cr_expect(parse(rows[i].text, BT_DIM_LENGTH, BT_UNIT_MM, &q, NULL) == BT_OK,
                  "%s", rows[i].text);
        cr_expect(fabs(q.value - rows[i].over / rows[i].under) <= 0, "%s",
                  rows[i].text);
        cr_expect(fabs(q.step - 1 / rows[i].under) <= 0, "%s", rows[i].text);
    }
}

Test(quantity, reads_feet_and_inches)
{
    static const struct row rows[] = {
        {"2' 6 1/2\"", 30.5 * IN, IN / 2, BT_UNIT_IN},
        {"2'6\"", 30 * IN, IN, BT_UNIT_IN},
        {"2'-6 1/2\"", 30.5 * IN, IN / 2, BT_UNIT_IN},
        {"2' - 6\"", 30 * IN, IN, BT_UNIT_IN},
        {"2\xE2\x80\xB2 6\xC2\xBD\xE2\x80\xB3", 30.5 * IN, IN / 2, BT_UNIT_IN},
        {"2\xE2\x80\x99 6.25\xE2\x80\x9D", 30.25 * IN, IN / 100, BT_UNIT_IN},
        {"2 ft 6 in", 30 * IN, IN, BT_UNIT_IN},
        {"2 feet 6 inches", 30 * IN, IN, BT_UNIT_IN},
        {"2' 6", 30 * IN, IN, BT_UNIT_IN},
        {"-2' 6\"", -30 * IN, IN, BT_UNIT_IN},
        {"2'", 24 * IN, 12 * IN, BT_UNIT_FT},
        {"2.5'", 30 * IN, 1.2 * IN, BT_UNIT_FT},
        {"2 1/2 ft", 30 * IN, 6 * IN, BT_UNIT_FT},
    };

    READS_ALL(rows, BT_DIM_LENGTH, BT_UNIT_MM);
}

Test(quantity, reads_lengths_in_each_unit)
{
    static const struct row rows[] = {
        {"450 mm", 450, 1, BT_UNIT_MM},
        {"450MM", 450, 1, BT_UNIT_MM},
        {"45 cm", 450, 10, BT_UNIT_CM},
        {"1.2 m", 1200, 100, BT_UNIT_M},
        {"12 thou", 0.3048, 0.0254, BT_UNIT_THOU},
        {"250 um", 0.25, 0.001, BT_UNIT_UM},
        {"250 \xC2\xB5m", 0.25, 0.001, BT_UNIT_UM},
        {"250 \xCE\xBCm", 0.25, 0.001, BT_UNIT_UM},
        {"3 millimetres", 3, 1, BT_UNIT_MM},
        {"3 Millimeters", 3, 1, BT_UNIT_MM},
        {"1 centimetre", 10, 10, BT_UNIT_CM},
        {"2 meters", 2000, 1000, BT_UNIT_M},
        {"4 in.", 4 * IN, IN, BT_UNIT_IN},
        {"5 thousandths", 0.127, 0.0254, BT_UNIT_THOU},
    };

    READS_ALL(rows, BT_DIM_LENGTH, BT_UNIT_IN);
}

Test(quantity, reads_signs)
{
    static const struct row rows[] = {
        {"-3 mm", -3, 1, BT_UNIT_MM},
        {"- 3 mm", -3, 1, BT_UNIT_MM},
        {"+3", 3, 1, 0},
        {"\xE2\x88\x92"
         "3",
         -3, 1, 0},
        {"-17 7/8 in", -17.875 * IN, IN / 8, BT_UNIT_IN},
        {"-17-7/8 in", -17.875 * IN, IN / 8, BT_UNIT_IN},
        {"-\xC2\xBD", -0.5, 0.5, 0},
        {"-.5", -0.5, 0.1, 0},
    };
    struct bt_quantity q;

    READS_ALL(rows, BT_DIM_LENGTH, BT_UNIT_MM);
    cr_assert(parse("-0", BT_DIM_LENGTH, BT_UNIT_MM, &q, NULL) == BT_OK);
    cr_expect(!signbit(q.value), "no minus on zero");
}

Test(quantity, takes_the_last_digit_typed_as_step)
{
    static const struct row rows[] = {
        {"12", 12, 1, 0},       {"12.", 12, 1, 0},       {"12.50", 12.5, 0.01, 0},
        {"1200", 1200, 1, 0},   {"1.2e3", 1200, 100, 0}, {"12e-2", 0.12, 0.01, 0},
        {"0.000", 0, 0.001, 0}, {"5E+2", 500, 100, 0},
    };

    READS_ALL(rows, BT_DIM_LENGTH, BT_UNIT_MM);
}

Test(quantity, reads_the_other_dimensions)
{
    static const struct row angle[] = {
        {"0.25 deg", 0.25 * DEG, 0.01 * DEG, BT_UNIT_DEG},
        {"0.25\xC2\xB0", 0.25 * DEG, 0.01 * DEG, BT_UNIT_DEG},
        {"90 degrees", 90 * DEG, DEG, BT_UNIT_DEG},
        {"0.01 rad", 0.01, 0.01, BT_UNIT_RAD},
        {"-2", -2 * DEG, DEG, 0},
    };
    static const struct row share[] = {
        {"45 %", 45, 1, BT_UNIT_PERCENT},
        {"45%", 45, 1, BT_UNIT_PERCENT},
        {"9.5 pct", 9.5, 0.1, BT_UNIT_PERCENT},
        {"95", 95, 1, 0},
    };
    static const struct row temperature[] = {
        {"70 F", 190 / 9.0, 5 / 9.0, BT_UNIT_FAHRENHEIT},
        {"32\xC2\xB0"
         "F",
         0, 5 / 9.0, BT_UNIT_FAHRENHEIT},
        {"-40 deg F", -40, 5 / 9.0, BT_UNIT_FAHRENHEIT},
        {"21 C", 21, 1, BT_UNIT_CELSIUS},
        {"21 \xC2\xB0"
         "C",
         21, 1, BT_UNIT_CELSIUS},
        {"21 degrees C", 21, 1, BT_UNIT_CELSIUS},
    };
    static const struct row force[] = {
        {"1050 lbf", 1050 * LBF, LBF, BT_UNIT_LBF},
        {"4.7 kN", 4700, 100, BT_UNIT_KN},
        {"12 N", 12, 1, BT_UNIT_N},
    };
    static const struct row pressure[] = {
        {"150 psi", 150 * LBF / 645.16, LBF / 645.16, BT_UNIT_PSI},
        {"1 MPa", 1, 1, BT_UNIT_MPA},
        {"1 N/mm2", 1, 1, BT_UNIT_MPA},
        {"700 kPa", 0.7, 0.001, BT_UNIT_KPA},
        {"3 Pa", 3e-6, 1e-6, BT_UNIT_PA},
    };
    static const struct row time[] = {
        {"3 d", 3, 1, BT_UNIT_DAY},
        {"2 h", 2 / 24.0, 1 / 24.0, BT_UNIT_HOUR},
        {"90 min", 0.0625, 1 / 1440.0, BT_UNIT_MINUTE},
        {"3 days", 3, 1, BT_UNIT_DAY},
    };
    static const struct row density[] = {
        {"680 kg/m3", 680, 1, BT_UNIT_KG_PER_M3},
        {"680 kg/m\xC2\xB3", 680, 1, BT_UNIT_KG_PER_M3},
    };
    static const struct row number[] = {{"12.5", 12.5, 0.1, 0}, {"1/2", 0.5, 0.5, 0}};

    READS_ALL(angle, BT_DIM_ANGLE, BT_UNIT_DEG);
    READS_ALL(share, BT_DIM_PERCENT, BT_UNIT_PERCENT);
    READS_ALL(temperature, BT_DIM_TEMPERATURE, BT_UNIT_NONE);
    READS_ALL(force, BT_DIM_FORCE, BT_UNIT_NONE);
    READS_ALL(pressure, BT_DIM_PRESSURE, BT_UNIT_NONE);
    READS_ALL(time, BT_DIM_TIME, BT_UNIT_NONE);
    READS_ALL(density, BT_DIM_DENSITY, BT_UNIT_NONE);
    READS_ALL(number, BT_DIM_NUMBER, BT_UNIT_ONE);
}

Test(quantity, reads_a_slope_as_a_ratio_or_as_the_tangent_of_an_angle)
{
    static const struct row rows[] = {
        {"0.4 mm/m", 0.0004, 0.0001, BT_UNIT_MM_PER_M},
        {"0.4", 0.0004, 0.0001, 0},
        {"-2 mm per m", -0.002, 0.001, BT_UNIT_MM_PER_M},
        /* the slope of 45 deg grows by 2 rad per rad */
        {"45 deg", 1, 2 * DEG, BT_UNIT_DEG},
        {"0.5 rad", 0.54630248984379051,
         0.1 * (1 + 0.54630248984379051 * 0.54630248984379051), BT_UNIT_RAD},
    };

    READS_ALL(rows, BT_DIM_SLOPE, BT_UNIT_MM_PER_M);
}

Test(quantity, reads_a_decimal_comma_only_where_told)
{
    static const char *const texts[] = {"17,5", "17.5", "17,5 mm"};
    struct bt_quantity q;
    struct bt_error err;

    for (size_t i = 0; i < 3; i++) {
        cr_expect(bt_quantity_parse(texts[i], strlen(texts[i]), BT_DIM_LENGTH,
                                    BT_UNIT_MM, true, &q, &err) == BT_OK);
        cr_expect(fabs(q.value - 17.5) <= 0 && fabs(q.step - 0.1) <= 0, "%s", texts[i]);
    }
    cr_expect(bt_quantity_parse("1.234,5", 7, BT_DIM_LENGTH, BT_UNIT_MM, true, &q,
                                &err) == BT_EINPUT);
    cr_expect(err.column == 6);
}

Test(quantity, reads_no_byte_past_the_length)
{
    struct bt_quantity q;

    cr_assert(bt_quantity_parse("12 mmm", 5, BT_DIM_LENGTH, BT_UNIT_NONE, false, &q,
                                NULL) == BT_OK);
    cr_assert(bt_quantity_parse("1234", 2, BT_DIM_LENGTH, BT_UNIT_MM, false, &q,
                                NULL) == BT_OK);
    cr_expect(fabs(q.value - 12) <= 0);
}

#define LENGTH_FIX "write a number with a unit such as 12.5 mm or 17 7/8 in"
#define FRACTION_FIX "write whole numbers such as 7/8 or 17 7/8"
#define DENOMINATOR_FIX "write a denominator from 1 to 1024, such as 7/8"
#define RANGE_FIX "write one that a double holds, about 1e-300 to 1e300"

Test(quantity, refuses_with_place_and_remedy)
{
    static const struct {
        const char *text;
        size_t column;
        const char *message;
    } rows[] = {
        {"", 1, "empty where there should be a length: '', " LENGTH_FIX},
        {"  ", 2, "empty where there should be a length: '', " LENGTH_FIX},
        {"5abc", 2, "not a length: '5abc', " LENGTH_FIX},
        {" 5 mm x", 7, "not a length: '5 mm x', " LENGTH_FIX},
        {"\xC2\xBDx", 2, "not a length: '\xC2\xBDx', " LENGTH_FIX},
        {"abc", 1, "not a length: 'abc', " LENGTH_FIX},
        {".", 1, "not a length: '.', " LENGTH_FIX},
        {"--3", 2, "not a length: '--3', " LENGTH_FIX},
        {"17-7", 3, "not a length: '17-7', " LENGTH_FIX},
        {"5e", 2, "not a length: '5e', " LENGTH_FIX},
        {"nan", 1, "not a length: 'nan', " LENGTH_FIX},
        {"NaN mm", 1, "not a length: 'NaN mm', " LENGTH_FIX},
        {"-inf", 2, "not a length: '-inf', " LENGTH_FIX},
        {"0x1F", 2, "a hexadecimal number: '0x1F', write it in decimal digits"},
        {"1e400", 1, "too large a number: '1e400', " RANGE_FIX},
        {"1e308 m", 1, "too large a number: '1e308 m', " RANGE_FIX},
        {"0e400", 1, "too large a number: '0e400', " RANGE_FIX},
        {"1e-400", 1, "too small a number: '1e-400', " RANGE_FIX},
        {"1/0", 3, "a fraction with denominator 0: '1/0', " DENOMINATOR_FIX},
        {"2 1/0 in", 5, "a fraction with denominator 0: '2 1/0 in', " DENOMINATOR_FIX},
        {"1/1025", 3,
         "a fraction with a denominator over 1024: '1/1025', " DENOMINATOR_FIX},
        {"7/", 2, "not a fraction of the form a/b: '7/', " FRACTION_FIX},
        {"7/x", 3, "not a fraction of the form a/b: '7/x', " FRACTION_FIX},
        {"1/2/3", 4, "not a fraction of the form a/b: '1/2/3', " FRACTION_FIX},
        {"7/8.5", 4, "not a fraction of the form a/b: '7/8.5', " FRACTION_FIX},
        {"7.5/8", 5, "not a fraction of the form a/b: '7.5/8', " FRACTION_FIX},
        {"17.5 7/8", 6, "not a fraction of the form a/b: '17.5 7/8', " FRACTION_FIX},
        {"17.5\xC2\xBD", 5,
         "not a fraction of the form a/b: '17.5\xC2\xBD', " FRACTION_FIX},
        {"17 9/8", 4,
         "a whole number with a fraction that is not below one: '17 9/8', write one "
         "such as 17 7/8"},
        {"12345678901234567 1/2", 19,
         "too many digits before a fraction: '12345678901234567 1/2', write at most 15 "
         "of them"},
        {"12 13", 4, "two numbers: '12 13', " LENGTH_FIX},
        {"5 mm 3 in", 6, "two quantities: '5 mm 3 in', " LENGTH_FIX},
        {"5 mm in", 6, "two units: '5 mm in', " LENGTH_FIX},
        {"70 F", 4, "a temperature, not a length: '70 F', " LENGTH_FIX},
        {"5 mil", 3,
         "a unit that some read as 0.001 in and others as 1 mm: '5 mil', write thou or "
         "mm"},
        {"17,5", 3,
         "a comma in a number: '17,5', write a decimal point and no thousands mark, "
         "such as 1200.5"},
        {"2.5' 6\"", 6,
         "feet with a fraction and inches as well: '2.5' 6\"', write whole feet, such "
         "as 2' 6 1/2\""},
        {"2' 12\"", 4,
         "feet with a foot or more of inches: '2' 12\"', write less than 12 inches "
         "after the feet, such as 2' 6 1/2\""},
        {"2' 6 mm", 6, "not a length: '2' 6 mm', " LENGTH_FIX},
        {"2' x", 4, "not a length: '2' x', " LENGTH_FIX},
    };
    struct bt_quantity q = {2.385, 7.25, BT_UNIT_PSI, true, true, 3};
    struct bt_error err;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        cr_expect(parse(rows[i].text, BT_DIM_LENGTH, BT_UNIT_MM, &q, &err) == BT_EINPUT,
                  "%s", rows[i].text);
        cr_expect(strcmp(err.message, rows[i].message) == 0, "%s: %s", rows[i].text,
                  err.message);
        cr_expect(err.column == rows[i].column, "%s: column %zu", rows[i].text,
                  err.column);
    }
    cr_expect(q.value == 2.385 && q.step == 7.25 && q.unit == BT_UNIT_PSI,
              "left untouched");
}

Test(quantity, refuses_a_bare_number_where_no_unit_is_known)
{
    struct bt_quantity q;
    struct bt_error err;

    cr_expect(parse("17.5", BT_DIM_LENGTH, BT_UNIT_NONE, &q, &err) == BT_EINPUT);
    cr_expect(strcmp(err.message, "a number without a unit: '17.5', " LENGTH_FIX) == 0);
    cr_expect(err.column == 1);
    cr_expect(parse("17.5", BT_DIM_NUMBER, BT_UNIT_NONE, &q, &err) == BT_OK,
              "a pure number needs none");
}

Test(quantity, says_what_would_do_for_each_dimension)
{
    static const struct {
        enum bt_dimension dim;
        const char *text, *message;
    } rows[] = {
        {BT_DIM_NUMBER, "3 mm",
         "a length, not a number: '3 mm', write a number such as 3 or 0.25"},
        {BT_DIM_ANGLE, "3 mm",
         "a length, not an angle: '3 mm', write a number with a unit such as 0.25 deg"},
        {BT_DIM_SLOPE, "x",
         "not a slope: 'x', write a number with a unit such as 0.4 mm/m or 0.02 deg"},
        {BT_DIM_SLOPE, "90 deg",
         "a slope of a right angle or more: '90 deg', write one between -90 and 90 "
         "deg"},
        {BT_DIM_PERCENT, "x",
         "not a percentage: 'x', write a number with a unit such as 45 %"},
        {BT_DIM_TEMPERATURE, "70 deg",
         "an angle, not a temperature: '70 deg', write a number with a unit such as "
         "21 C or 70 F"},
        {BT_DIM_TEMPERATURE, "70 f",
         "not a temperature: '70 f', write a number with a unit such as 21 C or 70 F"},
        {BT_DIM_FORCE, "3 lb", "a mass where a force is wanted: '3 lb', write lbf"},
        {BT_DIM_FORCE, "3 psi",
         "a pressure, not a force: '3 psi', write a number with a unit such as 1050 "
         "lbf "
         "or 4.7 kN"},
        {BT_DIM_PRESSURE, "3 mPa",
         "not a pressure: '3 mPa', write a number with a unit such as 150 psi or 1 "
         "MPa"},
        {BT_DIM_TIME, "1 h 30 min",
         "two quantities: '1 h 30 min', write a number with a unit such as 3 d or 2 h"},
        {BT_DIM_DENSITY, "3 kg",
         "not a density: '3 kg', write a number with a unit such as 680 kg/m3"},
    };
    struct bt_quantity q;
    struct bt_error err;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        cr_expect(parse(rows[i].text, rows[i].dim, BT_UNIT_NONE, &q, &err) == BT_EINPUT,
                  "%s", rows[i].text);
        cr_expect(strcmp(err.message, rows[i].message) == 0, "%s: %s", rows[i].text,
                  err.message);
    }
}

Test(quantity, gives_an_example_of_the_kind_for_a_date_where_no_fraction_is_written)
{
    struct bt_error err = {0};
    struct bt_quantity q;

    cr_expect(parse("16-Mar", BT_DIM_FORCE, BT_UNIT_NONE, &q, &err) == BT_EINPUT);
    cr_expect_str_eq(err.message,
                     "a date: '16-Mar', write a number with a unit such as "
                     "1050 lbf or 4.7 kN");
    cr_expect(parse("16-Mar", BT_DIM_TEMPERATURE, BT_UNIT_NONE, &q, &err) == BT_EINPUT);
    cr_expect_str_eq(
        err.message,
        "a date: '16-Mar', write a number with a unit such as 21 C or 70 F");
}

Test(quantity, explains_the_date_that_a_spreadsheet_made_of_a_fraction)
{
    static const char *const dates[] = {
        "16-Mar",
        "Mar-16",
        "3/16/2026",
        "16/03/2026",
        "2026-03-16",
        "16.03.2026",
        "16-03-2026",
        "3/16/26",
        "16-Mar-26",
        "16-MAR-2026",
        "16 March",
        "Mar 16",
        "16. Mrz",
        "16. M\xC3\xA4r",
        "March 16 2026",
        "7-Aug",
        "1-Mai",
        "2026-03-16 00:00:00",
        "2026-03-16T00:00",
    };
    static const char *const others[] = {"16-Max",    "3/16/2",    "32/16/2026",
                                         "3/16-2026", "16-2026",   "Mar",
                                         "Mar-May",   "12345-Mar", "2026-03-16 x"};
    char want[200];
    struct bt_quantity q;
    struct bt_error err;

    for (size_t i = 0; i < sizeof dates / sizeof dates[0]; i++) {
        cr_expect(parse(dates[i], BT_DIM_LENGTH, BT_UNIT_IN, &q, &err) == BT_EINPUT);
        snprintf(want, sizeof want,
                 "a date: '%s', a spreadsheet made it of a fraction such as 3/16: make "
                 "the column text and write the fraction again",
                 dates[i]);
        cr_expect(strcmp(err.message, want) == 0, "%s: %s", dates[i], err.message);
        cr_expect(err.column == 1, "%s", dates[i]);
    }
    for (size_t i = 0; i < sizeof others / sizeof others[0]; i++) {
        cr_expect(parse(others[i], BT_DIM_LENGTH, BT_UNIT_IN, &q, &err) == BT_EINPUT);
        cr_expect(strncmp(err.message, "a date", 6) != 0, "%s", others[i]);
    }
}

Test(quantity, quotes_long_and_dirty_text_safely)
{
    char text[1000], want[300];
    struct bt_quantity q;
    struct bt_error err;
    size_t n = 0;

    for (size_t i = 0; i < 300; i++, n += 3)
        memcpy(text + n, "\xE2\x82\xAC", 3); /* U+20AC, three bytes */
    cr_expect(bt_quantity_parse(text, n, BT_DIM_LENGTH, BT_UNIT_MM, false, &q, &err) ==
              BT_EINPUT);
    strcpy(want, "not a length: '");
    strncat(want, text, 180);
    strcat(want, "...', " LENGTH_FIX);
    cr_expect(strcmp(err.message, want) == 0, "%s", err.message);

    parse("5 \x1B[31m\x01\xFF\xE2\x80\xAE", BT_DIM_LENGTH, BT_UNIT_MM, &q, &err);
    cr_expect(strcmp(err.message, "not a length: '5 ?[31m?"
                                  "?"
                                  "?', " LENGTH_FIX) == 0,
              "%s", err.message);
}

Test(quantity, tells_a_wrong_call_from_wrong_data)
{
    struct bt_quantity q;
    struct bt_error err;

    cr_expect(parse("5", BT_DIM_LENGTH, BT_UNIT_DEG, &q, &err) == BT_ECALL);
    cr_expect(strcmp(err.message,
                     "the unit of bare numbers does not belong to the dimension") == 0);
    cr_expect(parse("5", BT_DIM_LENGTH, BT_UNIT_ONE, &q, NULL) == BT_ECALL);
    cr_expect(parse("5", BT_DIM_ANGLE, BT_UNIT_MM_PER_M, &q, NULL) == BT_ECALL);
    cr_expect(parse("5", BT_DIM_LENGTH, BT_UNIT_COUNT, &q, NULL) == BT_ECALL);
    cr_expect(parse("5", (enum bt_dimension)99, BT_UNIT_NONE, &q, NULL) == BT_ECALL);
    cr_expect(parse("5", BT_DIM_LENGTH, BT_UNIT_MM, NULL, &err) == BT_ECALL);
    cr_expect(strcmp(err.message, "a quantity without text or room") == 0);
    cr_expect(bt_quantity_parse(NULL, 3, BT_DIM_LENGTH, BT_UNIT_MM, false, &q, NULL) ==
              BT_ECALL);
    cr_expect(bt_quantity_parse(NULL, 0, BT_DIM_LENGTH, BT_UNIT_MM, false, &q, NULL) ==
              BT_EINPUT);
}

Test(quantity, names_each_unit_so_that_it_is_found_again)
{
    for (int u = BT_UNIT_MM; u < BT_UNIT_COUNT; u++) {
        enum bt_unit unit = (enum bt_unit)u;
        const char *name = bt_unit_name(unit);
        cr_expect(bt_unit_find(name, strlen(name)) == unit, "%s", name);
        cr_expect(bt_unit_dimension(unit) != BT_DIM_NUMBER, "%s", name);
        for (double v = -3.5; v < 100; v += 17.25) {
            double back = bt_unit_from_inside(bt_unit_to_inside(v, unit), unit);
            cr_expect(fabs(back - v) <= 1e-13 * 100, "%s: %.17g", name, back);
        }
    }
    cr_expect(strcmp(bt_unit_name(BT_UNIT_NONE), "") == 0);
    cr_expect(strcmp(bt_unit_name(BT_UNIT_COUNT), "") == 0);
    cr_expect(bt_unit_dimension(BT_UNIT_ONE) == BT_DIM_NUMBER);
    cr_expect(bt_unit_to_inside(2.385, BT_UNIT_ONE) == 2.385);
    cr_expect(bt_unit_from_inside(2.385, BT_UNIT_NONE) == 2.385);
}

Test(quantity, finds_column_suffixes_and_minds_case_where_it_must)
{
    static const struct {
        const char *word;
        enum bt_unit unit;
    } rows[] = {
        {"mm_per_m", BT_UNIT_MM_PER_M},
        {"pct", BT_UNIT_PERCENT},
        {"kg_per_m3", BT_UNIT_KG_PER_M3},
        {"THOU", BT_UNIT_THOU},
        {" deg  C ", BT_UNIT_CELSIUS},
        {"M", BT_UNIT_NONE},
        {"c", BT_UNIT_NONE},
        {"n", BT_UNIT_NONE},
        {"mpa", BT_UNIT_NONE},
        {"", BT_UNIT_NONE},
        {"m m", BT_UNIT_NONE},
        {"millimetres and more of it", BT_UNIT_NONE},
    };

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        cr_expect(bt_unit_find(rows[i].word, strlen(rows[i].word)) == rows[i].unit,
                  "%s", rows[i].word);
    cr_expect(bt_unit_find("mm\0x", 4) == BT_UNIT_NONE, "NUL inside");
    cr_expect(bt_unit_find(NULL, 0) == BT_UNIT_NONE);
}

Test(quantity, converts_by_the_exact_definitions)
{
    cr_expect(bt_unit_to_inside(12, BT_UNIT_THOU) == 0.3048, "to the last bit");
    cr_expect(bt_unit_to_inside(1, BT_UNIT_IN) == 25.4);
    cr_expect(bt_unit_to_inside(1, BT_UNIT_FT) == 304.8);
    cr_expect(bt_unit_to_inside(32, BT_UNIT_FAHRENHEIT) == 0);
    cr_expect(bt_unit_to_inside(212, BT_UNIT_FAHRENHEIT) == 100);
    /* 1 psi = 6894.757 Pa: NIST SP 811 (2008), Appendix B.8, to the digits given */
    cr_expect(fabs(bt_unit_to_inside(1, BT_UNIT_PSI) - 6.894757e-3) <= 5e-10);
}

Test(quantity, does_not_ask_the_locale)
{
    static const char *const names[] = {"de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8",
                                        "de_DE"};
    struct bt_quantity q;

    /* Where none of them is installed this repeats the C locale. */
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++)
        if (setlocale(LC_ALL, names[i]))
            break;
    cr_expect(parse("17.5", BT_DIM_LENGTH, BT_UNIT_MM, &q, NULL) == BT_OK);
    cr_expect(fabs(q.value - 17.5) <= 0);
    cr_expect(parse("17,5", BT_DIM_LENGTH, BT_UNIT_MM, &q, NULL) == BT_EINPUT);
    setlocale(LC_ALL, "C");
}
