/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/base/feeler.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define THOU 0.0254

static const struct bt_feeler feelers[] = {{"paper", 0.1, 3}, {"card", 0.25, 4}};

static enum bt_status parse(const char *text, enum bt_unit unit, struct bt_gap *gap,
                            struct bt_error *err)
{
    return bt_gap_parse(text, strlen(text), unit, false, 2, feelers, gap, err);
}

struct row {
    const char *text;
    enum bt_gap_kind kind;
    double low, high, step;
};

static void reads_all(size_t n, const struct row rows[], enum bt_unit unit)
{
    struct bt_error err = {0};
    struct bt_gap gap;

    for (size_t i = 0; i < n; i++) {
        const struct row *r = &rows[i];
        cr_expect(parse(r->text, unit, &gap, &err) == BT_OK, "%s: %s", r->text,
                  err.message);
        cr_expect(gap.kind == r->kind, "%s", r->text);
        cr_expect(fabs(gap.low - r->low) <= 1e-14, "%s: low %.17g", r->text, gap.low);
        cr_expect(fabs(gap.high - r->high) <= 1e-14, "%s: high %.17g", r->text,
                  gap.high);
        cr_expect(fabs(gap.step - r->step) <= 1e-14, "%s: step %.17g", r->text,
                  gap.step);
    }
}
#define READS_ALL(rows, unit) reads_all(sizeof(rows) / sizeof(rows)[0], rows, unit)

Test(feeler, reads_every_form_of_gap)
{
    static const struct row rows[] = {
        {"0.2", BT_GAP_EXACT, 0.2, 0.2, 0.1},
        {"0", BT_GAP_EXACT, 0, 0, 1},
        {"+0.2", BT_GAP_EXACT, 0.2, 0.2, 0.1},
        {" 12 thou ", BT_GAP_EXACT, 12 * THOU, 12 * THOU, THOU},
        {"1/64 in", BT_GAP_EXACT, 25.4 / 64, 25.4 / 64, 25.4 / 64},
        {"paper", BT_GAP_EXACT, 0.1, 0.1, 0},
        {"paper + card", BT_GAP_EXACT, 0.35, 0.35, 0},
        {"0.05+paper", BT_GAP_EXACT, 0.15, 0.15, 0.01},
        {"1e-1+2e+0", BT_GAP_EXACT, 2.1, 2.1, 0.1},
        {"0.004..0.006 in", BT_GAP_INTERVAL, 4 * THOU, 6 * THOU, THOU},
        {"0..0.05 mm", BT_GAP_INTERVAL, 0, 0.05, 0.01},
        {"paper..card", BT_GAP_INTERVAL, 0.1, 0.25, 0},
        {"paper .. 0.15", BT_GAP_INTERVAL, 0.1, 0.15, 0.01},
        {"0.05..paper", BT_GAP_INTERVAL, 0.05, 0.1, 0.01},
        {"<0.0015 in", BT_GAP_BELOW, 0, 1.5 * THOU, 0.1 * THOU},
        {"< paper", BT_GAP_BELOW, 0, 0.1, 0},
        {"<paper+0.05", BT_GAP_BELOW, 0, 0.15, 0.01},
    };

    READS_ALL(rows, BT_UNIT_MM);
}

Test(feeler, lets_the_unit_at_the_end_hold_for_all_bare_numbers)
{
    static const struct row rows[] = {
        {"4+6 thou", BT_GAP_EXACT, 10 * THOU, 10 * THOU, THOU},
        {"4+1.5+paper+2 thou", BT_GAP_EXACT, 7.5 * THOU + 0.1, 7.5 * THOU + 0.1,
         0.1 * THOU},
        {"4..6+2 thou", BT_GAP_INTERVAL, 4 * THOU, 8 * THOU, THOU},
        {"4+2 thou..0.2+0.1 mm", BT_GAP_INTERVAL, 6 * THOU, 0.3, THOU},
        {"1..12 thou", BT_GAP_INTERVAL, THOU, 12 * THOU, THOU},
        {"<1+2 thou", BT_GAP_BELOW, 0, 3 * THOU, THOU},
        {"0.1 mm+4 thou", BT_GAP_EXACT, 0.1 + 4 * THOU, 0.1 + 4 * THOU, THOU},
        {"2 thou+1", BT_GAP_EXACT, 2 * THOU + 1, 2 * THOU + 1, THOU},
    };

    READS_ALL(rows, BT_UNIT_MM);
}

Test(feeler, reads_bare_numbers_in_the_unit_of_the_column)
{
    static const struct row rows[] = {
        {"4", BT_GAP_EXACT, 4 * THOU, 4 * THOU, THOU},
        {"4..6", BT_GAP_INTERVAL, 4 * THOU, 6 * THOU, THOU},
        {"0.1..0.2 mm", BT_GAP_INTERVAL, 0.1, 0.2, 0.1},
        {"4+paper", BT_GAP_EXACT, 4 * THOU + 0.1, 4 * THOU + 0.1, THOU},
    };

    READS_ALL(rows, BT_UNIT_THOU);
}

Test(feeler, reads_a_decimal_comma_where_told)
{
    struct bt_gap gap;

    cr_assert(bt_gap_parse("0,05..0,1 mm", 12, BT_UNIT_NONE, true, 0, NULL, &gap,
                           NULL) == BT_OK);
    cr_expect(fabs(gap.low - 0.05) <= 0 && fabs(gap.high - 0.1) <= 0);
}

#define WENT " (the first went, the second did not), "
#define FORMS_MM                                                                       \
    "write 0 (touches), 0.30, 0.25..0.30" WENT "<0.05 (nothing went) or paper+card"
#define FORMS_IN                                                                       \
    "write 0 (touches), 0.012, 0.012..0.014" WENT                                      \
    "<0.0015 (nothing went), 1/64 or paper+card"

/* What makers wrote, in a column of inches: what is plain is offered. */
Test(feeler, offers_what_was_meant_or_shows_the_forms)
{
    static const struct {
        const char *text, *message;
    } rows[] = {
        {"0.012 goes 0.014 not", "did you mean 0.012..0.014?"},
        {"0.012-0.014", "did you mean 0.012..0.014?"},
        {"0.012 to 0.014", "did you mean 0.012..0.014?"},
        {"0.012\xE2\x80\xA6"
         "0.014",
         "did you mean 0.012..0.014?"},
        {"0.012 0.014", "did you mean 0.012..0.014?"},
        {"0.012...0.014", "did you mean 0.012..0.014?"},
        {"1/64 - 1/32", "did you mean 1/64..1/32?"},
        {"0.014-0.012", FORMS_IN},
        {"1/64 under", FORMS_IN},
        {"about 0.020", "did you mean 0.020?"},
        {"~0.020", "did you mean 0.020?"},
        {"less than 0.0015", "did you mean <0.0015?"},
        {"2 paper", "did you mean paper+paper?"},
        {"3 x card", "did you mean card+card+card?"},
        {"2 papers", "did you mean paper+paper?"},
        {"2 foil", FORMS_IN},
        {"touches", "did you mean 0?"},
        {"O", "did you mean 0?"},
        {"0.01O", "did you mean 0.010?"},
        {"0.0l2", "did you mean 0.012?"},
        {"?", FORMS_IN},
        {"0.012 paper 3 x y 4 5 6 7 8 9 1 2 3 4 5 6 7", FORMS_IN},
    };
    char want[400];
    struct bt_error err;
    struct bt_gap gap;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        cr_expect(parse(rows[i].text, BT_UNIT_IN, &gap, &err) == BT_EINPUT, "%s",
                  rows[i].text);
        snprintf(want, sizeof want, "not a gap: '%s', %s", rows[i].text,
                 rows[i].message);
        cr_expect(strcmp(err.message, want) == 0, "%s: %s", rows[i].text, err.message);
    }
    cr_expect(parse("nothing", BT_UNIT_IN, &gap, &err) == BT_EINPUT);
    cr_expect(strcmp(err.message,
                     "a feeler that nothing defines: 'nothing', define it "
                     "under [feelers] in the job.ini of its folder, or " FORMS_IN) == 0,
              "%s", err.message);
}

Test(feeler, says_where_a_feeler_is_defined_where_none_is_known)
{
    struct bt_error err;
    struct bt_gap gap;

    cr_expect(bt_gap_parse("paper", 5, BT_UNIT_THOU, false, 0, NULL, &gap, &err) ==
              BT_EINPUT);
    cr_expect(
        strcmp(err.message,
               "a feeler that nothing defines: 'paper', define it under [feelers] in "
               "the job.ini of its folder, or write 0 (touches), 12, "
               "12..14" WENT "<1.5 (nothing went) or paper+card") == 0,
        "%s", err.message);
}

Test(feeler, offers_thou_for_a_gap_that_no_straightedge_has)
{
    static const struct {
        const char *text;
        enum bt_unit unit;
        const char *message;
    } rows[] = {
        {"30", BT_UNIT_IN, "a gap of 30 in: '30', did you mean 30 thou (0.030 in)?"},
        {"12..14", BT_UNIT_IN, "a gap of 12 in: '12..14', did you mean 12..14 thou?"},
        {"1.5", BT_UNIT_IN, "a gap of 1 1/2 in: '1.5', did you mean 1.5 thou?"},
        {"2 in", BT_UNIT_THOU,
         "a gap of 2 in: '2 in', at most 1 in (25.4 mm) is "
         "believed: is the unit right?"},
        {"2000", BT_UNIT_IN,
         "a gap of 2000 in: '2000', at most 1 in (25.4 mm) is "
         "believed: is the unit right?"},
        {"135", BT_UNIT_MM, "a gap of 135 mm: '135', did you mean 1.35 mm?"},
    };
    struct bt_error err;
    struct bt_gap gap;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        cr_expect(parse(rows[i].text, rows[i].unit, &gap, &err) == BT_EINPUT, "%s",
                  rows[i].text);
        cr_expect(strcmp(err.message, rows[i].message) == 0, "%s: %s", rows[i].text,
                  err.message);
    }
    cr_expect(parse("1", BT_UNIT_IN, &gap, &err) == BT_OK, "%s", err.message);
}

Test(feeler, refuses_a_fraction_of_a_rule_in_thou)
{
    static const struct {
        const char *text;
        enum bt_status status;
    } rows[] = {{"1/64", BT_EINPUT},  {"3/8", BT_EINPUT}, {"1/64+2", BT_EINPUT},
                {"7 1/2", BT_OK},     {"1/3", BT_OK},     {"1/64 in", BT_OK},
                {"1/2..2", BT_EINPUT}};
    struct bt_error err;
    struct bt_gap gap;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        cr_expect(parse(rows[i].text, BT_UNIT_THOU, &gap, &err) == rows[i].status, "%s",
                  rows[i].text);
    cr_expect(parse("3/8", BT_UNIT_THOU, &gap, &err) == BT_EINPUT);
    cr_expect(strcmp(err.message, "a fraction of a thousandth of an inch: '3/8', write "
                                  "3/8 in") == 0,
              "%s", err.message);
}

Test(feeler, tells_how_the_numbers_were_typed)
{
    static const struct {
        const char *text;
        enum bt_digits digits;
        double step;
        int odd;
        bool metric, inch;
    } rows[] = {
        {"0", BT_DIGITS_WHOLE, 25.4, 0, false, false},
        {"0.010", BT_DIGITS_POINT, THOU, 0, false, true},
        {"0.20 mm", BT_DIGITS_POINT, 0.01, 0, true, false},
        {"1/64", BT_DIGITS_FRACTION, 25.4 / 64, 0, false, true},
        {"1/64+0.002", BT_DIGITS_FRACTION, 25.4 / 64, 0, false, true},
        {"0.002+1/64", BT_DIGITS_FRACTION, 25.4 / 64, 0, false, true},
        {"1/46", BT_DIGITS_FRACTION, 25.4 / 46, 46, false, true},
        {"1/64..1/46", BT_DIGITS_FRACTION, 25.4 / 64, 46, false, true},
        {"paper", BT_DIGITS_NONE, 0, 0, false, false},
        {"0.1 mm+0.004 in", BT_DIGITS_POINT, THOU, 0, true, true},
    };
    struct bt_gap gap;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        cr_assert(parse(rows[i].text, BT_UNIT_IN, &gap, NULL) == BT_OK, "%s",
                  rows[i].text);
        cr_expect(gap.digits == rows[i].digits, "%s", rows[i].text);
        cr_expect(fabs(gap.step - rows[i].step) <= 1e-14, "%s", rows[i].text);
        cr_expect(gap.odd == rows[i].odd, "%s", rows[i].text);
        cr_expect(gap.metric == rows[i].metric && gap.inch == rows[i].inch, "%s",
                  rows[i].text);
    }
}

Test(feeler, refuses_with_place_and_remedy)
{
    static const struct {
        const char *text;
        size_t column;
        const char *message;
    } rows[] = {
        {"", 1,
         "empty where there should be a gap: '', write one such as 0.2 mm or "
         "0.004..0.006 in"},
        {"-4", 1, "a negative gap: '-4', write 0 where the feelers touch"},
        {"4 + -1", 5, "a negative gap: '-1', write 0 where the feelers touch"},
        {"4+", 2,
         "a feeler is missing: '4+', write a length or a name on each side of + and "
         ".."},
        {"4++5", 3,
         "a feeler is missing: '4++5', write a length or a name on each side of + and "
         ".."},
        {"..5", 1,
         "an interval without its beginning: '..5', write the leaf that went before "
         "the "
         "two points, or < and the thinnest one where none went"},
        {"5..", 1,
         "an interval without its end: '5..', write the next leaf, which did not go, "
         "after the two points"},
        {"<", 1,
         "a feeler is missing: '<', write a length or a name on each side of + and .."},
        {"6..4", 1,
         "an interval that does not grow: '6..4', write the gap that went first, then "
         "the thicker one that did not"},
        {"4..4", 1,
         "an interval that does not grow: '4..4', write the gap that went first, then "
         "the thicker one that did not"},
        {"4...6", 2, "not a gap: '4...6', did you mean 4..6?"},
        {"1..2..3", 2, "not a gap: '1..2..3', " FORMS_MM},
        {"<0", 1,
         "a gap below 0: '<0', write the thinnest feeler, which did not go, after <"},
        {"<1..2", 1,
         "an interval after <: '<1..2', write one of the two, such as <0.0015 in or "
         "0.004..0.006 in"},
        {"papre", 1, "a feeler that nothing defines: 'papre', did you mean 'paper'?"},
        {"0.1+crad", 5, "a feeler that nothing defines: 'crad', did you mean 'card'?"},
        {"shim", 1,
         "a feeler that nothing defines: 'shim', define it under [feelers] in the "
         "job.ini of its folder, or " FORMS_MM},
        {"0.1 + 5abc", 8, "not a gap: '0.1 + 5abc', " FORMS_MM},
        {"\xC2\xBD..5abc", 5, "not a gap: '\xC2\xBD..5abc', " FORMS_MM},
        {"1/0", 3,
         "a fraction with denominator 0: '1/0', write a denominator from 1 to 1024, "
         "such as 7/8"},
        {"Mar-16", 1,
         "a date: 'Mar-16', a spreadsheet made it of a fraction such as 3/16: make the "
         "column text and write the fraction again"},
        {"4 deg", 3,
         "an angle, not a length: '4 deg', write a number with a unit such as 12.5 mm "
         "or 17 7/8 in"},
        {"26 mm", 1,
         "a gap of 26 mm: '26 mm', at most 1 in (25.4 mm) is "
         "believed: is the unit right?"},
        {"30", 1, "a gap of 30 mm: '30', did you mean 0.30 mm?"},
        {"1/64 thou", 1,
         "a fraction of a thousandth of an inch: '1/64 thou', write 1/64 in"},
    };
    struct bt_gap gap = {.kind = BT_GAP_BELOW, .low = 1.5, .high = 2.5, .step = 3.5};
    struct bt_error err;

    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        cr_expect(parse(rows[i].text, BT_UNIT_MM, &gap, &err) == BT_EINPUT, "%s",
                  rows[i].text);
        cr_expect(strcmp(err.message, rows[i].message) == 0, "%s: %s", rows[i].text,
                  err.message);
        cr_expect(err.column == rows[i].column, "%s: column %zu", rows[i].text,
                  err.column);
        cr_expect(parse(rows[i].text, BT_UNIT_MM, &gap, NULL) == BT_EINPUT, "%s",
                  rows[i].text);
    }
    cr_expect(gap.kind == BT_GAP_BELOW && gap.low == 1.5 && gap.step == 3.5,
              "left untouched");
}

Test(feeler, refuses_bare_numbers_where_no_unit_is_known)
{
    struct bt_error err;
    struct bt_gap gap;

    cr_expect(parse("4 thou + 2", BT_UNIT_NONE, &gap, &err) == BT_EINPUT);
    cr_expect(strcmp(err.message, "a number without a unit: '2', write a number with a "
                                  "unit such as 12.5 mm or 17 7/8 in") == 0,
              "%s", err.message);
    cr_expect(err.column == 10, "column %zu", err.column);
    cr_expect(parse("2+4 thou", BT_UNIT_NONE, &gap, &err) == BT_OK);
}

Test(feeler, tells_a_wrong_call_from_wrong_data)
{
    struct bt_error err;
    struct bt_gap gap;

    cr_expect(parse("4", BT_UNIT_DEG, &gap, &err) == BT_ECALL);
    cr_expect(strcmp(err.message, "the unit of gaps is not one of length") == 0);
    cr_expect(bt_gap_parse("4", 1, BT_UNIT_MM, false, 0, NULL, NULL, &err) == BT_ECALL);
    cr_expect(bt_gap_parse("4", 1, BT_UNIT_MM, false, 1, NULL, &gap, NULL) == BT_ECALL);
    cr_expect(bt_gap_parse(NULL, 1, BT_UNIT_MM, false, 0, NULL, &gap, &err) ==
              BT_ECALL);
    cr_expect(strcmp(err.message, "a gap without text, names or room") == 0);
    cr_expect(bt_gap_parse(NULL, 0, BT_UNIT_MM, false, 0, NULL, &gap, &err) ==
              BT_EINPUT);
}

Test(feeler, gives_an_interval_its_middle_and_rectangular_uncertainty)
{
    const struct bt_gap interval = {.kind = BT_GAP_INTERVAL, .low = 0.1, .high = 0.16};
    const struct bt_gap exact = {.kind = BT_GAP_EXACT, .low = 0.1, .high = 0.1};

    cr_expect(fabs(bt_gap_value(&interval) - 0.13) <= 1e-15);
    /* half width 0.03 over sqrt(3): JCGM 100:2008, 4.3.7 */
    cr_expect(fabs(bt_gap_u(&interval) - 0.017320508075688773) <= 1e-16);
    cr_expect(fabs(bt_gap_value(&exact) - 0.1) <= 0);
    cr_expect(fabs(bt_gap_u(&exact)) <= 0);
}
