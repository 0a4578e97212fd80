/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/base/feeler.h"

#include <criterion/criterion.h>
#include <math.h>
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
         "a feeler is missing: '..5', write a length or a name on each side of + and "
         ".."},
        {"5..", 3,
         "a feeler is missing: '5..', write a length or a name on each side of + and "
         ".."},
        {"<", 1,
         "a feeler is missing: '<', write a length or a name on each side of + and .."},
        {"6..4", 1,
         "an interval that does not grow: '6..4', write the gap that went first, then "
         "the thicker one that did not"},
        {"4..4", 1,
         "an interval that does not grow: '4..4', write the gap that went first, then "
         "the thicker one that did not"},
        {"4...6", 2,
         "not an interval: '...6', write two gaps with two points between, such as "
         "0.004..0.006 in"},
        {"1..2..3", 2,
         "not an interval: '..2..3', write two gaps with two points between, such as "
         "0.004..0.006 in"},
        {"<0", 1,
         "a gap below 0: '<0', write the thinnest feeler, which did not go, after <"},
        {"<1..2", 1,
         "an interval after <: '<1..2', write one of the two, such as <0.0015 in or "
         "0.004..0.006 in"},
        {"papre", 1, "a feeler that nothing defines: 'papre', did you mean 'paper'?"},
        {"0.1+crad", 5, "a feeler that nothing defines: 'crad', did you mean 'card'?"},
        {"shim", 1,
         "a feeler that nothing defines: 'shim', write a length, or define the name "
         "under [feelers]"},
        {"0.1 + 5abc", 8,
         "not a length: '5abc', write a number with a unit such as 12.5 mm or 17 7/8 "
         "in"},
        {"\xC2\xBD..5abc", 5,
         "not a length: '5abc', write a number with a unit such as 12.5 mm or 17 7/8 "
         "in"},
        {"1/0", 3,
         "a fraction with denominator 0: '1/0', write a denominator from 1 to 1024, "
         "such as 7/8"},
        {"Mar-16", 1,
         "a date: 'Mar-16', a spreadsheet made it of a fraction such as 3/16: make the "
         "column text and write the fraction again"},
        {"4 deg", 3,
         "an angle, not a length: '4 deg', write a number with a unit such as 12.5 mm "
         "or 17 7/8 in"},
        {"1e308+1e308+1e308", 1,
         "too large a gap: '1e308+1e308+1e308', write one below 1e300"},
    };
    struct bt_gap gap = {BT_GAP_BELOW, 1.5, 2.5, 3.5};
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
    const struct bt_gap interval = {BT_GAP_INTERVAL, 0.1, 0.16, 0.01};
    const struct bt_gap exact = {BT_GAP_EXACT, 0.1, 0.1, 0.01};

    cr_expect(fabs(bt_gap_value(&interval) - 0.13) <= 1e-15);
    /* half width 0.03 over sqrt(3): JCGM 100:2008, 4.3.7 */
    cr_expect(fabs(bt_gap_u(&interval) - 0.017320508075688773) <= 1e-16);
    cr_expect(fabs(bt_gap_value(&exact) - 0.1) <= 0);
    cr_expect(fabs(bt_gap_u(&exact)) <= 0);
}
