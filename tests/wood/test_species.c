/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "benchtrue/wood/species.h"
#include "support/reference.h"

enum { ROOM = 40 };

static size_t find(const char *text, const struct bt_species *found[ROOM])
{
    return bt_species_find(text, strlen(text), ROOM, found);
}

struct one {
    const char *text, *name;
};

static const struct one ones[] = {
    {"Ash, white", "Ash, white"},
    {"white ash", "Ash, white"},
    {"ash white", "Ash, white"},
    {"  WHITE   Ash ", "Ash, white"},
    {"white-ash", "Ash, white"},
    {"Fraxinus americana", "Ash, white"},
    {"red oak", "Oak, red"}, /* not northern, southern or California red */
    {"northern red oak", "Oak, northern red"},
    {"white oak", "Oak, white"},
    {"Quercus alba", "Oak, white"},
    {"quercus rubra", "Oak, northern red"},
    {"cherry", "Cherry, black"}, /* although jatoba is sold as Brazilian cherry */
    {"Brazilian cherry", "Jatoba"},
    {"walnut", "Walnut, black"},
    {"Fagus", "Beech, American"},
    {"beech", "Beech, American"},
    {"hard maple", "Maple, sugar"},
    {"poplar", "Yellow-poplar"},
    {"yellow poplar", "Yellow-poplar"},
    {"western red cedar", "Cedar, western redcedar"},
    {"sitka", "Spruce, Sitka"},
    {"Swietenia", "Mahogany, true"},
    {"shagb", "Hickory, shagbark"},
};

Test(species, a_name_finds_its_species_in_either_order_and_any_case)
{
    for (size_t i = 0; i < sizeof ones / sizeof *ones; i++) {
        const struct bt_species *found[ROOM];
        size_t n = find(ones[i].text, found);
        cr_expect_eq(n, 1, "%s: %zu", ones[i].text, n);
        if (n == 1)
            cr_expect_str_eq(found[0]->name, ones[i].name, "%s", ones[i].text);
    }
}

struct several {
    const char *text;
    size_t n;
    const char *first, *last;
};

static const struct several severals[] = {
    {"ash", 6, "Ash, Oregon", "Ash, white"},
    {"oak", 18, "Oak, California red", "Oak, willow"},
    {"mahog", 2, "Mahogany, African", "Mahogany, true"},
    {"soft maple", 2, "Maple, red", "Maple, silver"},
    {"Acer", 6, "Maple, bigleaf", "Maple, sugar"},
    {"douglas fir", 3, "Douglas-fir, coast", "Douglas-fir, interior west"},
    {"white pine", 2, "Pine, eastern white", "Pine, western white"},
};

Test(species, a_name_that_means_several_brings_all_of_them)
{
    for (size_t i = 0; i < sizeof severals / sizeof *severals; i++) {
        const struct several *s = &severals[i];
        const struct bt_species *found[ROOM] = {NULL};
        size_t n = find(s->text, found);
        cr_assert_eq(n, s->n, "%s: %zu", s->text, n);
        cr_expect_str_eq(found[0]->name, s->first, "%s", s->text);
        cr_expect_str_eq(found[n - 1]->name, s->last, "%s", s->text);
    }
}

Test(species, no_more_are_written_than_there_is_room_for)
{
    const struct bt_species *found[3] = {NULL};

    cr_expect_eq(bt_species_find("oak", 3, 2, found), 18);
    cr_expect_not_null(found[1]);
    cr_expect_null(found[2]);
    cr_expect_eq(bt_species_find("oak", 3, 0, NULL), 18);
}

Test(species, what_is_no_name_finds_none)
{
    static const char *const none[] = {
        "",
        " ,-",
        "zzz",
        "ash ash",
        "white ash wood",
        "42",
        "w\xc3\xa4lnut",
        "a name that is longer than any name of any tree that anybody ever planted"};

    for (size_t i = 0; i < sizeof none / sizeof *none; i++)
        cr_expect_eq(bt_species_find(none[i], strlen(none[i]), 0, NULL), 0, "%s",
                     none[i]);
    cr_expect_eq(bt_species_find(NULL, 0, 0, NULL), 0);
}

static const struct one near[] = {
    {"wallnut", "Walnut, black"},         {"whte ash", "Ash, white"},
    {"Querkus alba", "Oak, white"},       {"hrad maple", "Maple, sugar"},
    {"sapele mahogny", "Mahogany, true"}, {"chery", "Cherry, black"},
};

Test(species, a_misspelt_name_brings_the_nearest_first)
{
    for (size_t i = 0; i < sizeof near / sizeof *near; i++) {
        const struct bt_species *found[3] = {NULL};
        size_t n = bt_species_near(near[i].text, strlen(near[i].text), 3, found);
        cr_expect(n > 0, "%s", near[i].text);
        if (n > 0)
            cr_expect_str_eq(found[0]->name, near[i].name, "%s", near[i].text);
    }
}

Test(species, nothing_is_near_to_what_is_like_no_name)
{
    const struct bt_species *found[3] = {NULL};

    cr_expect_eq(bt_species_near("xxxxxxxx", 8, 3, found), 0);
    cr_expect_eq(bt_species_near("plywood", 7, 3, found), 0);
    cr_expect_eq(bt_species_near("mdf", 3, 3, found), 0);
    cr_expect_null(found[0]);
}

Test(species, the_table_is_in_order_and_every_name_finds_itself)
{
    cr_assert(bt_species_count() > 150);
    cr_expect_null(bt_species_at(bt_species_count()));
    for (size_t i = 0; i < bt_species_count(); i++) {
        const struct bt_species *s = bt_species_at(i), *found[ROOM];
        if (i > 0)
            cr_expect(strcmp(bt_species_at(i - 1)->name, s->name) < 0, "%s", s->name);
        cr_expect_eq(find(s->name, found), 1, "%s", s->name);
        cr_expect_eq(found[0], s, "%s", s->name);
    }
}

/* One kind of value and the column that it comes from. */
struct column {
    const char *file, *value, *status;
    size_t offset;
    double scale;
};

#define OF(member) offsetof(struct bt_species, member)
static const struct column columns[] = {
    {"shrinkage.csv", "shrink_radial_pct", "status", OF(shrink_radial), 1},
    {"shrinkage.csv", "shrink_tangential_pct", "status", OF(shrink_tangential), 1},
    {"dimensional_change.csv", "C_R_per_pct_MC", "status_C_R", OF(c_radial), 1},
    {"dimensional_change.csv", "C_T_per_pct_MC", "status_C_T", OF(c_tangential), 1},
    {"mechanical.csv", "SG_12pct", "status_SG", OF(gravity), 1},
    {"mechanical.csv", "MOE_MPa", "status_MOE", OF(moe), 1},
    {"mechanical.csv", "C_perp_kPa", "status_C_perp", OF(c_perp), 1000},
    {"mechanical.csv", "E_T_over_E_L", "status_ratios", OF(ratio_tangential), 1},
    {"mechanical.csv", "E_R_over_E_L", "status_ratios", OF(ratio_radial), 1},
};

static const struct bt_property *property(const struct bt_species *s, size_t offset)
{
    return (const struct bt_property *)(const void *)((const char *)s + offset);
}

static bool about_no_species(const char *name)
{
    return strncmp(name, "RULE", 4) == 0 || strncmp(name, "Longitudinal", 12) == 0;
}

/* Compares all species that have their value from that row; how many there are. */
static size_t compare(const struct reference *t, size_t row, const struct column *c)
{
    const char *name = reference_text(t, row, "species");
    size_t n = 0;

    for (size_t i = 0; i < bt_species_count(); i++) {
        const struct bt_species *s = bt_species_at(i);
        const struct bt_property *p = property(s, c->offset);
        if (strcmp(p->row, name) != 0)
            continue;
        n++;
        cr_expect(fabs(p->value * c->scale - reference_number(t, row, c->value)) <=
                      1e-12 * p->value * c->scale,
                  "%s: %s of %s", s->name, c->value, name);
        cr_expect_str_eq(p->status, reference_text(t, row, c->status), "%s: %s",
                         s->name, c->value);
        cr_expect_str_not_empty(p->source, "%s: %s", s->name, c->value);
    }
    return n;
}

Test(species, every_value_of_the_tables_is_there_with_its_status)
{
    for (size_t k = 0; k < sizeof columns / sizeof *columns; k++) {
        struct reference *t = reference_load(columns[k].file);
        for (size_t row = 0; row < reference_rows(t); row++) {
            const char *name = reference_text(t, row, "species");
            bool used = true; /* rows that stand for a group only in part */
            if (about_no_species(name) || reference_empty(t, row, columns[k].value))
                continue;
            used = compare(t, row, &columns[k]) > 0;
            cr_expect(used, "%s: %s of %s is lost", columns[k].file, columns[k].value,
                      name);
        }
        reference_free(t);
    }
}

Test(species, a_value_that_no_table_has_is_nan_without_source)
{
    const struct bt_species *found[ROOM];

    cr_assert_eq(find("jatoba", found), 1);
    for (size_t k = 4; k < sizeof columns / sizeof *columns; k++) {
        const struct bt_property *p = property(found[0], columns[k].offset);
        cr_expect(isnan(p->value), "%s", columns[k].value);
        cr_expect_str_empty(p->row);
        cr_expect_str_empty(p->status);
        cr_expect_str_empty(p->source);
    }
}

Test(species, names_that_differ_between_the_tables_are_joined)
{
    const struct bt_species *found[ROOM];

    cr_assert_eq(find("Mahogany, true", found), 1);
    cr_expect_str_eq(found[0]->shrink_radial.row, "Mahogany, true");
    cr_expect_str_eq(found[0]->c_radial.row, "Mahogany");
    cr_expect_str_eq(found[0]->moe.row, "Mahogany, true (Swietenia)");
    cr_expect(found[0]->green_volume);
    cr_assert_eq(find("pin oak", found), 1);
    cr_expect_str_eq(found[0]->c_radial.row, "Oak, red, commercial");
    cr_expect(!found[0]->green_volume);
}
