/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_WOOD_WOOD_H
#define BENCHTRUE_WOOD_WOOD_H

#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/wood/species.h"

/*
 * What a wood is taken to be in a calculation: one species, or the mean of all that a
 * short name (`ash`, `oak`) may mean.
 */

struct bt_wood_value {
    double value; /* NaN where nothing is known */
    double u;     /* standard uncertainty for one board of that wood; NaN with value */
    char status[64]; /* worst of what it rests on: `seen`, `seen (secondary quotation)`,
                        `derived here`, `from memory`, `common practice, no source` */
    char source[160]; /* document, or how it is derived; "" with value NaN */
    size_t rows; /* rows of the tables that it is the mean of; 1 its own, 0 filled in
                    from a rule that is not about this species */
};

struct bt_wood {
    char name[208]; /* `Ash, white`, or `ash: mean of 6 species`: what was typed, fit to
                       be shown, cut after 40 characters */
    const struct bt_species *species; /* NULL for a mean of several */
    size_t nspecies;                  /* that the name may mean */
    struct bt_wood_value shrink_radial,
        shrink_tangential;                       /* percent, green to ovendry */
    struct bt_wood_value c_radial, c_tangential; /* share per percent of moisture */
    struct bt_wood_value saturation;             /* percent; u 0 */
    struct bt_wood_value density;                /* kg/m3 at 12 % moisture */
    struct bt_wood_value moe;                    /* MPa, bending, shear contained */
    struct bt_wood_value e_along;                /* E_L, MPa: for beams whose shear is
                                                    reckoned apart */
    struct bt_wood_value e_tangential, e_radial; /* MPa, across the grain */
    struct bt_wood_value g_along; /* MPa, shear along the grain, G_LR and G_LT alike */
    struct bt_wood_value c_perp;  /* MPa, proportional limit */
};

/*
 * One species with what the tables lack filled in:
 *
 *   coefficients   from the shrinkage S: C = 1/(100 s/S - s + 10), s the saturation
 *                  (footnote of FPL-GTR-190, Table 13-5), and the other way round; a
 * lone tangential value leaves the radial one NaN density        1120 kg/m3 times the
 * specific gravity e_along        1.10 times moe (reference/wood_rules.csv) across E_T
 * and E_R by the species' own ratios, else by the mean of all ratios in the table of
 * hardwoods or of softwoods (rows 0), whose spread is the uncertainty g_along
 * e_along/16
 *
 * u: scatter from tree to tree as a share of the value, by kind of value
 * (reference/wood_rules.csv).  Where shrinkage and coefficient are both published and
 * disagree by more than their rounding, that (rectangular) is in the u of both.  Given
 * NULL: a wood of which nothing is known.
 */
BT_API void bt_wood_of_species(const struct bt_species *species, struct bt_wood *wood);

/*
 * The mean of n species: each value is the mean over those that have it (as published
 * or by bt_wood_of_species, but not filled in from other species), a row of a table
 * that serves several of them counted once.  u^2 = (tree to tree)^2 + (spread of the
 * rows)^2, since the board in hand is of one of them and it is not known which.  name:
 * what is typed, for wood->name.
 *
 * Returns BT_OK, BT_ECALL (n 0), BT_ENOMEM; wood untouched on error.
 */
BT_API enum bt_status bt_wood_mean(size_t n, const struct bt_species *const species[],
                                   const char *name, size_t length,
                                   struct bt_wood *wood, struct bt_error *err);

/*
 * The wood that a maker's text names (bt_species_find): the species, or the mean of the
 * species where it does not say which; wood->nspecies tells.  Returns BT_OK; BT_EINPUT
 * for a name not known: the message is `no such species: 'TEXT', did you mean A; B; C?`
 * or `..., write its common or botanical name`; BT_ENOMEM.  wood untouched on error.
 */
BT_API enum bt_status bt_wood_find(const char *text, size_t length,
                                   struct bt_wood *wood, struct bt_error *err);

/* Constants that are not about one species, each with its source: made from
 * reference/wood_rules.csv when the program is built. */
#define BT_WOOD_RULE_LIST(X)                                                           \
    X(BT_RULE_SHRINKAGE_SCATTER, "scatter of shrinkage")                               \
    X(BT_RULE_GRAVITY_SCATTER, "scatter of specific gravity")                          \
    X(BT_RULE_MOE_SCATTER, "scatter of modulus of elasticity")                         \
    X(BT_RULE_C_PERP_SCATTER, "scatter of compression across the grain")               \
    X(BT_RULE_RATIO_SCATTER, "scatter of elastic ratios")                              \
    X(BT_RULE_E_OVER_MOE, "E_L over bending modulus")                                  \
    X(BT_RULE_G_OVER_E, "shear modulus over E_L")                                      \
    X(BT_RULE_COEFFICIENT_LEAST, "least moisture for coefficients")                    \
    X(BT_RULE_COEFFICIENT_MOST, "most moisture for coefficients")                      \
    X(BT_RULE_SATURATION, "fibre saturation")                                          \
    X(BT_RULE_FLAT_MOST, "largest ring angle of flat cut")                             \
    X(BT_RULE_QUARTER_LEAST, "least ring angle of quarter cut")                        \
    X(BT_RULE_DIFFUSION_LEAST, "least diffusion coefficient")                          \
    X(BT_RULE_DIFFUSION_MOST, "most diffusion coefficient")

#define BT_WOOD_RULE_CODE(code, name) code,
enum bt_wood_rule_code { BT_WOOD_RULE_LIST(BT_WOOD_RULE_CODE) BT_WOOD_RULE_COUNT };
#undef BT_WOOD_RULE_CODE

struct bt_wood_rule {
    const char *name;
    double value;
    const char *unit, *status, *source;
};

/* NULL for a number outside the list. */
BT_API const struct bt_wood_rule *bt_wood_rule(enum bt_wood_rule_code code);

#endif
