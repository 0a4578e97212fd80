/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "benchtrue/wood/wood.h"
#include "support/reference.h"

static struct bt_wood wood_of(const char *text)
{
    struct bt_wood w;
    struct bt_error err = {0};

    cr_assert_eq(bt_wood_find(text, strlen(text), &w, &err), BT_OK, "%s: %s", text,
                 err.message);
    return w;
}

static void expect_value(const struct bt_wood_value *v, double value, double share,
                         const char *status, const char *name)
{
    cr_expect(fabs(v->value - value) <= 1e-9 * value, "%s: %.12g", name, v->value);
    cr_expect(fabs(v->u - share * value) <= 1e-9 * value, "%s: u %.12g", name, v->u);
    cr_expect_str_eq(v->status, status, "%s", name);
}

/* reference/mechanical.csv: 0.63, 12600 MPa, 10100 kPa, ratios 0.065 and 0.132. */
Test(wood, one_species_has_its_values_with_the_worst_status_they_rest_on)
{
    struct bt_wood w = wood_of("hard maple");

    cr_expect_str_eq(w.name, "Maple, sugar");
    cr_expect_eq(w.nspecies, 1);
    cr_expect_not_null(w.species);
    expect_value(&w.c_tangential, 0.00353, 0.15, "seen", "c_tangential");
    expect_value(&w.shrink_tangential, 9.9, 0.15, "seen (secondary quotation)",
                 "shrink_tangential");
    expect_value(&w.density, 1120 * 0.63, 0.10, "seen (secondary quotation)",
                 "density");
    expect_value(&w.moe, 12600, 0.22, "seen (secondary quotation)", "moe");
    expect_value(&w.e_along, 13860, 0.22, "derived here", "e_along");
    expect_value(&w.e_tangential, 13860 * 0.065, hypot(0.22, 0.25), "derived here",
                 "e_tangential");
    expect_value(&w.e_radial, 13860 * 0.132, hypot(0.22, 0.25), "derived here",
                 "e_radial");
    expect_value(&w.g_along, 13860 / 16.0, hypot(0.22, 0.25), "from memory", "g_along");
    expect_value(&w.c_perp, 10.1, 0.28, "seen (secondary quotation)", "c_perp");
    cr_expect(fabs(w.saturation.value - 30) <= 1e-12);
    cr_expect_eq(w.e_radial.rows, 1);
    w = wood_of("white ash"); /* modulus quoted, ratios from memory */
    expect_value(&w.e_radial, 13200 * 0.125, hypot(0.22, 0.25), "from memory",
                 "e_radial of ash");
    expect_value(&w.e_along, 13200, 0.22, "derived here", "e_along of ash");
}

/* Coefficients of all species from their shrinkage, as reference/checks.py (section 2)
 * computes them to five places. */
Test(wood, coefficients_come_from_the_shrinkage_where_none_are_published)
{
    struct reference *t = reference_load("dimensional_change.csv");
    struct reference *sh = reference_load("shrinkage.csv");
    size_t compared = 0, agree = 0;

    for (size_t i = 0; i < reference_rows(t); i++) {
        struct bt_species s = *bt_species_at(0);
        struct bt_wood w;
        size_t row;
        double radial, tangential;
        if (reference_empty(t, i, "C_T_diff"))
            continue;
        row = reference_find(sh, "species",
                             reference_text(t, i, "shrinkage_row_used_for_check"), 0);
        s.shrink_radial.value = reference_number(sh, row, "shrink_radial_pct");
        s.shrink_tangential.value = reference_number(sh, row, "shrink_tangential_pct");
        s.saturation.value = reference_number(t, i, "fsp_for_check_pct");
        s.c_radial.value = s.c_tangential.value = NAN;
        bt_wood_of_species(&s, &w);
        radial = reference_number(t, i, "C_R_from_shrinkage");
        tangential = reference_number(t, i, "C_T_from_shrinkage");
        cr_expect(fabs(w.c_radial.value - radial) <= 5.1e-6, "row %zu", i + 2);
        cr_expect(fabs(w.c_tangential.value - tangential) <= 5.1e-6, "row %zu", i + 2);
        cr_expect_str_eq(w.c_radial.status + strlen(w.c_radial.status) - 4,
                         strcmp(w.c_radial.status, "derived here") ? "mory" : "here");
        compared++;
        if (fabs(w.c_radial.value - reference_number(t, i, "C_R_per_pct_MC")) <=
                2.5e-5 &&
            fabs(w.c_tangential.value - reference_number(t, i, "C_T_per_pct_MC")) <=
                2.5e-5)
            agree++;
    }
    cr_expect_eq(compared, 106);
    cr_expect(agree >= 86, "%zu", agree); /* 88 with the rounded figures */
    reference_free(t);
    reference_free(sh);
}

Test(wood, shrinkage_from_the_coefficient_and_back_is_the_same)
{
    struct bt_species s = *bt_species_at(0);
    struct bt_wood w, back;

    s.c_radial.value = 0.00158;
    s.c_tangential.value = 0.00369;
    s.shrink_radial.value = s.shrink_tangential.value = NAN;
    bt_wood_of_species(&s, &w);
    s.shrink_radial.value = w.shrink_radial.value;
    s.shrink_tangential.value = w.shrink_tangential.value;
    s.c_radial.value = s.c_tangential.value = NAN;
    bt_wood_of_species(&s, &back);
    cr_expect(fabs(back.c_radial.value - 0.00158) <= 1e-15);
    cr_expect(fabs(back.c_tangential.value - 0.00369) <= 1e-15);
}

/* reference/dimensional_change.csv, Mahogany: 0.00238, from the shrinkage 0.00141. */
Test(wood, tables_that_disagree_widen_the_uncertainty)
{
    struct bt_wood w = wood_of("true mahogany");
    double apart = (0.00238 - 1 / (3000 / 4.1 - 20)) / 0.00238;
    double share = hypot(0.15, apart / sqrt(12.0));

    cr_expect(share > 0.18);
    expect_value(&w.c_tangential, 0.00238, share, "seen (secondary quotation)", "C_T");
    cr_expect(fabs(w.shrink_tangential.value - 4.1) <= 1e-12);
    cr_expect(fabs(w.shrink_tangential.u - share * 4.1) <= 1e-9);
}

Test(wood, a_saturation_of_its_own_is_kept)
{
    struct reference *t = reference_load("dimensional_change.csv");
    size_t row = reference_find(t, "fsp_for_check_pct", "22", 0), n = 0;

    for (size_t i = 0; i < bt_species_count(); i++) {
        struct bt_wood w;
        bt_wood_of_species(bt_species_at(i), &w);
        if (strcmp(bt_species_at(i)->c_radial.row, reference_text(t, row, "species")))
            continue;
        n++;
        cr_expect(fabs(w.saturation.value - 22) <= 1e-12);
        cr_expect_str_eq(w.saturation.status, "from memory");
    }
    cr_expect(n > 0);
    reference_free(t);
}

/* Mean ratios of the table, by hand with the rows that have them. */
Test(wood, stiffness_across_is_that_of_like_woods_where_the_species_has_no_ratio)
{
    struct bt_wood w = wood_of("blue ash");
    double sum = 0, squares = 0, n = 0, mean, sd;

    for (size_t i = 0; i < bt_species_count(); i++) {
        const struct bt_species *s = bt_species_at(i);
        double r = s->ratio_tangential.value;
        if (strncmp(s->group, "softwood", 8) == 0 || isnan(r))
            continue;
        sum += r;
        n++;
    }
    mean = sum / n;
    for (size_t i = 0; i < bt_species_count(); i++) {
        const struct bt_species *s = bt_species_at(i);
        double r = s->ratio_tangential.value;
        if (strncmp(s->group, "softwood", 8) != 0 && !isnan(r))
            squares += (r - mean) * (r - mean);
    }
    sd = sqrt(squares / (n - 1));
    cr_expect(n > 10);
    cr_expect(fabs(w.e_tangential.value - 9700 * 1.1 * mean) <= 1e-6);
    cr_expect(fabs(w.e_tangential.u - 9700 * 1.1 * mean * hypot(0.22, sd / mean)) <=
              1e-6);
    cr_expect_eq(w.e_tangential.rows, 0);
    cr_expect_str_eq(w.e_tangential.status, "from memory");
    cr_expect_not_null(strstr(w.e_tangential.source, "mean ratio of hardwoods"));
}

/* G/(1 - 0.265 0.6 G) of 0.55. */
Test(wood, a_specific_gravity_on_green_volume_is_brought_to_12_percent)
{
    struct bt_wood w = wood_of("teak");

    cr_expect(fabs(w.density.value - 1120 * 0.55 / (1 - 0.159 * 0.55)) <= 1e-9);
    cr_expect_str_eq(w.density.status, "from memory");
}

Test(wood, what_is_not_known_is_nan_with_its_u_and_no_source)
{
    struct bt_wood w = wood_of("jatoba"), none;

    cr_expect(isnan(w.c_radial.value) && isnan(w.c_radial.u));
    cr_expect(isnan(w.density.value) && isnan(w.e_tangential.value));
    cr_expect(isnan(w.g_along.value) && isnan(w.c_perp.u));
    cr_expect_str_empty(w.density.source);
    cr_expect(fabs(w.c_tangential.value - 0.003) <= 1e-12);
    bt_wood_of_species(NULL, &none);
    cr_expect_str_empty(none.name);
    cr_expect_null(none.species);
    cr_expect(isnan(none.c_tangential.value) && isnan(none.saturation.value));
}

/* Two species with 1.5 and 0.9 of the value: mean 1.2, spread 0.3 sqrt 2. */
Test(wood, a_mean_of_species_has_their_spread_in_its_u)
{
    struct bt_species a = *bt_species_at(0), b = a;
    const struct bt_species *both[] = {&a, &b};
    struct bt_wood w;

    a.name = a.c_tangential.row = "A";
    b.name = b.c_tangential.row = "B";
    a.shrink_tangential.value = b.shrink_tangential.value = NAN; /* one table only */
    a.c_tangential.value = 0.0015;
    b.c_tangential.value = 0.0009;
    cr_assert_eq(bt_wood_mean(2, both, "any", 3, &w, NULL), BT_OK);
    cr_expect_str_eq(w.name, "any: mean of 2 species");
    cr_expect_null(w.species);
    cr_expect_eq(w.nspecies, 2);
    cr_expect(fabs(w.c_tangential.value - 0.0012) <= 1e-15);
    cr_expect(fabs(w.c_tangential.u - hypot(0.15 * 0.0012, 0.0003 * sqrt(2.0))) <=
              1e-15);
    cr_expect_eq(w.c_tangential.rows, 2);
    cr_expect_not_null(strstr(w.c_tangential.source, "; mean of 2"));
}

Test(wood, the_name_of_a_mean_shows_no_control_characters_and_is_not_cut_within_one)
{
    const struct bt_species *both[] = {bt_species_at(0), bt_species_at(1)};
    char name[200] = "";
    struct bt_wood w;

    cr_assert_eq(bt_wood_find("\x1boak\t", 5, &w, NULL), BT_OK);
    cr_expect_str_eq(w.name, "?oak?: mean of 18 species");
    for (size_t i = 0; i < 50; i++)
        strcat(name, "\xe2\x84\xa6"); /* three bytes */
    cr_assert_eq(bt_wood_mean(2, both, name, 150, &w, NULL), BT_OK);
    name[120] = '\0';
    strcat(name, "...: mean of 2 species");
    cr_expect_str_eq(w.name, name);
}

Test(wood, a_row_that_serves_several_species_counts_once)
{
    struct bt_wood w = wood_of("oak");
    struct reference *t = reference_load("dimensional_change.csv");
    double sum = 0, n = 0;

    /* the rows of oaks with coefficients, the commercial ones once each */
    for (size_t i = 0; i < reference_rows(t); i++)
        if (strncmp(reference_text(t, i, "species"), "Oak", 3) == 0) {
            sum += reference_number(t, i, "C_T_per_pct_MC");
            n++;
        }
    cr_expect(fabs(n - 8) <= 0);
    cr_expect(fabs(w.c_tangential.value - sum / n) <= 1e-15);
    cr_expect_eq(w.c_tangential.rows, 8);
    cr_expect_eq(w.nspecies, 18);
    reference_free(t);
}

Test(wood, the_order_of_the_species_does_not_change_the_mean)
{
    const struct bt_species *found[6], *turned[6];
    struct bt_wood a, b;

    cr_assert_eq(bt_species_find("ash", 3, 6, found), 6);
    for (size_t i = 0; i < 6; i++)
        turned[i] = found[5 - i];
    cr_assert_eq(bt_wood_mean(6, found, "ash", 3, &a, NULL), BT_OK);
    cr_assert_eq(bt_wood_mean(6, turned, "ash", 3, &b, NULL), BT_OK);
    cr_expect(fabs(a.c_radial.value - b.c_radial.value) <= 1e-15);
    cr_expect(fabs(a.moe.u - b.moe.u) <= 1e-9);
    cr_expect_str_eq(a.moe.status, b.moe.status);
}

struct bad {
    const char *text, *message;
};

static const struct bad bad[] = {
    {"wallnut", "no such species: 'wallnut', did you mean Walnut, black?"},
    {"chary", "no such species: 'chary', did you mean Cherry, black?"},
    {"xxxxxxxx", "no such species: 'xxxxxxxx', write its common or botanical "
                 "name; benchtrue knows 179, such as Ash, white"},
    {"plywood", "no such species: 'plywood', write its common or botanical name; "
                "benchtrue knows 179, such as Ash, white"},
    {"", "no such species: '', write its common or botanical "
         "name; benchtrue knows 179, such as Ash, white"},
    {"zq\x1b[7m\xff", "no such species: 'zq?[7m?', write its common or botanical "
                      "name; benchtrue knows 179, such as Ash, white"},
};

Test(wood, a_name_not_known_is_answered_with_candidates)
{
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        struct bt_error err = {0};
        struct bt_wood w = {.nspecies = 42};
        cr_expect_eq(bt_wood_find(bad[i].text, strlen(bad[i].text), &w, &err),
                     BT_EINPUT);
        cr_expect_str_eq(err.message, bad[i].message);
        cr_expect_eq(err.code, BT_EINPUT);
        cr_expect_eq(w.nspecies, 42);
    }
}

Test(wood, a_mean_of_no_species_is_a_wrong_call)
{
    struct bt_error err = {0};
    struct bt_wood w = {.nspecies = 42};

    cr_expect_eq(bt_wood_mean(0, NULL, "x", 1, &w, &err), BT_ECALL);
    cr_expect_str_eq(err.message, "no species");
    cr_expect_eq(w.nspecies, 42);
}

Test(wood, every_rule_is_that_of_the_reference)
{
    struct reference *t = reference_load("wood_rules.csv");

    cr_expect_eq(reference_rows(t), BT_WOOD_RULE_COUNT);
    for (int i = 0; i < BT_WOOD_RULE_COUNT; i++) {
        const struct bt_wood_rule *r = bt_wood_rule((enum bt_wood_rule_code)i);
        size_t row = reference_find(t, "rule", r->name, 0);
        cr_expect(fabs(r->value - reference_number(t, row, "value")) <=
                      1e-15 * r->value,
                  "%s", r->name);
        cr_expect_str_eq(r->unit, reference_text(t, row, "unit"));
        cr_expect_str_eq(r->status, reference_text(t, row, "status"));
        cr_expect_str_eq(r->source, reference_text(t, row, "source"));
    }
    cr_expect_null(bt_wood_rule(BT_WOOD_RULE_COUNT));
    cr_expect_null(bt_wood_rule((enum bt_wood_rule_code) - 1));
    reference_free(t);
}
