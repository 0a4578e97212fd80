/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/joint/glue.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "benchtrue/joint/rules.h"
#include "support/reference.h"

static const struct bt_glue *find(const char *name)
{
    return bt_glue_find(name, strlen(name));
}

Test(glue, each_kind_is_found_by_its_name_and_none_is_there_twice)
{
    cr_assert_geq(bt_glue_count(), 7);
    for (size_t i = 0; i < bt_glue_count(); i++)
        cr_expect_eq(find(bt_glue_at(i)->name), bt_glue_at(i), "%s",
                     bt_glue_at(i)->name);
    cr_expect_null(bt_glue_at(bt_glue_count()));
}

Test(glue, case_does_not_matter_and_a_part_of_a_name_is_no_name)
{
    const struct bt_glue *yellow = find("yellow PVA");

    cr_assert_not_null(yellow);
    cr_expect_str_eq(yellow->name, "yellow PVA");
    cr_expect_eq(find("YELLOW pva"), yellow);
    cr_expect_eq(bt_glue_find("yellow PVA, wet", 10), yellow);
    cr_expect_null(find("yellow"));
    cr_expect_null(find("yellow PVA "));
    cr_expect_null(find("yellow PVAx"));
    cr_expect_null(find(""));
}

Test(glue, a_value_that_is_not_there_is_nan_and_has_no_source)
{
    const struct bt_glue *hide = find("hide glue");

    cr_assert_not_null(hide);
    cr_expect(isnan(hide->open_temperature.value));
    cr_expect_str_eq(hide->open_temperature.source, "");
}

/* The member that a figure of the table fills. */
static const struct bt_glue_value *figure_of(const struct bt_glue *g,
                                             const char *figure)
{
    const struct {
        const char *name;
        const struct bt_glue_value *value;
    } figures[] = {{"gap", &g->gap_most},
                   {"open time", &g->open_time},
                   {"open temperature", &g->open_temperature},
                   {"clamp time", &g->clamp_time},
                   {"full time", &g->full_time},
                   {"surface time", &g->surface_days},
                   {"least temperature", &g->least_temperature}};

    for (size_t i = 0; i < sizeof figures / sizeof *figures; i++)
        if (strcmp(figures[i].name, figure) == 0)
            return figures[i].value;
    return NULL;
}

Test(glue, every_row_of_the_table_is_in_its_member_with_source_and_status)
{
    struct reference *t = reference_load("glues.csv");

    cr_assert_gt(reference_rows(t), 40);
    for (size_t i = 0; i < reference_rows(t); i++) {
        const struct bt_glue *glue = find(reference_text(t, i, "glue"));
        const struct bt_glue_value *value;

        cr_assert_not_null(glue, "row %zu", i);
        value = figure_of(glue, reference_text(t, i, "figure"));
        cr_assert_not_null(value, "row %zu", i);
        cr_expect(fabs(value->value - reference_number(t, i, "value")) <= 0, "row %zu",
                  i);
        cr_expect_not_null(strstr(value->source, reference_text(t, i, "status")),
                           "row %zu: %s", i, value->source);
        cr_expect_not_null(strstr(value->source, reference_text(t, i, "source")),
                           "row %zu: %s", i, value->source);
    }
    reference_free(t);
}

/* What was read somewhere stands in glue.csv; glues.csv may not drift from it. */
Test(glue, values_that_were_seen_are_those_of_the_table_of_sources)
{
    static const struct {
        const char *item, *column, *glue, *figure;
    } rows[] = {{"PUR bond-line it can bridge", "value_other", "PUR", "gap"},
                {"epoxy bond-line it can bridge", "value_other", "epoxy", "gap"}};
    struct reference *t = reference_load("glue.csv");
    size_t ideal = reference_find(t, "item", "PVA ideal bond-line", 0);
    size_t clamp =
        reference_find(t, "item", "clamp time, yellow/white glue, room temperature", 0);
    size_t sunken =
        reference_find(t, "item", "wait before final surfacing (sunken joint)", 0);

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        size_t row = reference_find(t, "item", rows[i].item, 0);
        double want = reference_number(t, row, rows[i].column);

        cr_expect(fabs(figure_of(find(rows[i].glue), rows[i].figure)->value - want) <=
                      1e-12,
                  "%s", rows[i].item);
    }
    /* words with numbers in them */
    cr_expect_str_eq(reference_text(t, ideal, "value_other"), "0.05-0.15");
    cr_expect_str_eq(reference_text(t, clamp, "value"),
                     "30 minimum; no stress for 24 h");
    cr_expect_str_eq(reference_text(t, sunken, "value"), "about 7");
    for (size_t i = 0; i < 2; i++) {
        const struct bt_glue *pva = find(i ? "white PVA" : "yellow PVA");

        cr_expect(fabs(pva->gap_most.value - 0.15) <= 1e-12);
        cr_expect(fabs(pva->clamp_time.value - 30) <= 1e-12);
        cr_expect(fabs(pva->full_time.value - 24) <= 1e-12);
        cr_expect(fabs(pva->surface_days.value - 7) <= 1e-12);
    }
    reference_free(t);
}

Test(glue, a_glue_may_be_stressed_after_it_may_be_unclamped)
{
    for (size_t i = 0; i < bt_glue_count(); i++) {
        const struct bt_glue *g = bt_glue_at(i);

        cr_expect(g->open_time.value < g->clamp_time.value, "%s", g->name);
        cr_expect(g->clamp_time.value <= 60 * g->full_time.value, "%s", g->name);
        cr_expect(g->full_time.value <= 24 * g->surface_days.value, "%s", g->name);
        cr_expect(isnan(g->open_temperature.value) ||
                      g->least_temperature.value <= g->open_temperature.value,
                  "%s", g->name);
    }
}

Test(glue, times_halve_every_ten_degrees_and_double_below)
{
    cr_expect(fabs(bt_glue_time_at(12.5, 21, 21) - 12.5) <= 1e-12);
    cr_expect(fabs(bt_glue_time_at(12.5, 21, 31) - 6.25) <= 1e-12);
    cr_expect(fabs(bt_glue_time_at(12.5, 21, 1) - 50) <= 1e-12);
    /* five degrees: the square root of 2 */
    cr_expect(fabs(bt_glue_time_at(10, 20, 15) - 14.142135623730951) <= 1e-12);
    cr_expect(isnan(bt_glue_time_at(NAN, 20, 15)));
    cr_expect(isnan(bt_glue_time_at(10, NAN, 15)));
    cr_expect(isnan(bt_glue_time_at(10, 20, NAN)));
}

Test(joint_rules, every_rule_is_that_of_its_table_and_none_is_beyond)
{
    struct reference *t = reference_load("joint_rules.csv");

    cr_assert_eq(reference_rows(t), BT_JOINT_RULE_COUNT);
    for (int i = 0; i < BT_JOINT_RULE_COUNT; i++) {
        const struct bt_joint_rule *rule = bt_joint_rule((enum bt_joint_rule_code)i);
        size_t row = reference_find(t, "rule", rule->name, 0);

        cr_expect(fabs(rule->value - reference_number(t, row, "value")) <= 0, "%s",
                  rule->name);
        cr_expect_str_eq(rule->unit, reference_text(t, row, "unit"));
        cr_expect_str_eq(rule->status, reference_text(t, row, "status"));
        cr_expect_str_eq(rule->source, reference_text(t, row, "source"));
    }
    cr_expect_null(bt_joint_rule(BT_JOINT_RULE_COUNT));
    cr_expect_null(bt_joint_rule((enum bt_joint_rule_code)(-1)));
    reference_free(t);
}

/* 1 psi is 0.006894757 MPa (NIST SP 811, appendix B), 1 in 25.4 mm. */
Test(joint_rules, pressures_and_hollow_are_those_of_the_table_of_sources)
{
    struct reference *t = reference_load("glue.csv");
    size_t low = reference_find(t, "item", "lowest-density wood", 0);
    size_t high = reference_find(t, "item", "highest-density wood", 0);
    size_t hollow = reference_find(t, "item", "sprung joint hollow", 0);
    const double psi = 0.006894757293168;

    cr_expect(fabs(bt_joint_rule(BT_RULE_PRESSURE_LIGHTEST)->value -
                   reference_number(t, low, "value") * psi) <= 1e-6);
    cr_expect(fabs(bt_joint_rule(BT_RULE_PRESSURE_HEAVIEST)->value -
                   reference_number(t, high, "value") * psi) <= 1e-6);
    cr_expect_str_eq(reference_text(t, hollow, "value"), "1/32");
    cr_expect(fabs(bt_joint_rule(BT_RULE_SPRING_USUAL)->value - 25.4 / 32) <= 1e-12);
    cr_expect(fabs(bt_joint_rule(BT_RULE_SHEAR_COEFFICIENT)->value - 5.0 / 6) <= 1e-15);
    reference_free(t);
}
