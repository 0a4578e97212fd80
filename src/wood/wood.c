/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/wood/wood.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#include "base/utf8.h"
#include "benchtrue/base/alloc.h"

/* From the one to lean on most to the one to lean on least. */
static const char *const statuses[] = {"seen",        "seen (secondary quotation)",
                                       "recomputed",  "derived here",
                                       "from memory", "common practice, no source"};

enum { STATUSES = sizeof statuses / sizeof *statuses };
enum rank { SEEN, SECONDARY, RECOMPUTED, DERIVED, MEMORY, COMMON };

/* A status may go on after the listed words: `from memory; tangential seen`. */
static enum rank rank_of(const char *status)
{
    for (size_t i = STATUSES; i-- > 0;)
        if (strncmp(status, statuses[i], strlen(statuses[i])) == 0)
            return (enum rank)i;
    return COMMON;
}

static enum rank worse(enum rank a, enum rank b)
{
    return a > b ? a : b;
}

static const struct bt_wood_value unknown = {.value = NAN, .u = NAN};

static struct bt_wood_value make_value(double value, double share, enum rank rank,
                                       const char *source)
{
    struct bt_wood_value v = {.value = value, .u = share * fabs(value), .rows = 1};

    if (isnan(value))
        return unknown;
    snprintf(v.status, sizeof v.status, "%s", statuses[rank]);
    snprintf(v.source, sizeof v.source, "%s", source);
    return v;
}

static double rule(enum bt_wood_rule_code code)
{
    return bt_wood_rule(code)->value;
}

static enum rank rule_rank(enum bt_wood_rule_code code)
{
    return rank_of(bt_wood_rule(code)->status);
}

/* `source, then what was done`. */
static struct bt_wood_value derived(double value, double share, enum rank rank,
                                    const char *source, const char *how)
{
    struct bt_wood_value v = make_value(value, share, worse(rank, DERIVED), source);
    size_t used = strlen(v.source);

    if (!isnan(value))
        snprintf(v.source + used, sizeof v.source - used, "; %s", how);
    return v;
}

static double saturation_of(const struct bt_species *s)
{
    return isnan(s->saturation.value) ? rule(BT_RULE_SATURATION) : s->saturation.value;
}

/* FPL-GTR-190, Table 13-5, footnote: the coefficient is that of a change at 10 %. */
enum { AT_MOISTURE = 10 };

static double coefficient_from(double shrinkage, double s)
{
    return 1.0 / (100.0 * s / shrinkage - s + AT_MOISTURE);
}

static double shrinkage_from(double coefficient, double s)
{
    return 100.0 * s / (1.0 / coefficient + s - AT_MOISTURE);
}

/* One direction of a species: what moves it. */
struct direction {
    const struct bt_property *coefficient, *shrinkage;
    double saturation;
    double scatter; /* share: from tree to tree, and what the two tables of the book
                       disagree by, the truth anywhere between */
};

/* Below this the tables agree: roundings of both (reference/checks.py, section 2). */
static const double rounding = 2.5e-5;

static struct direction direction_of(const struct bt_property *coefficient,
                                     const struct bt_property *shrinkage, double s)
{
    struct direction d = {coefficient, shrinkage, s, rule(BT_RULE_SHRINKAGE_SCATTER)};
    double apart = fabs(coefficient->value - coefficient_from(shrinkage->value, s));

    if (apart > rounding) /* not where one is NaN */
        d.scatter = hypot(d.scatter, apart / coefficient->value / sqrt(12.0));
    return d;
}

static struct bt_wood_value own_value(const struct bt_property *p, double scatter)
{
    return make_value(p->value, scatter, rank_of(p->status), p->source);
}

static struct bt_wood_value coefficient(const struct direction *d)
{
    if (!isnan(d->coefficient->value))
        return own_value(d->coefficient, d->scatter);
    return derived(coefficient_from(d->shrinkage->value, d->saturation), d->scatter,
                   rank_of(d->shrinkage->status), d->shrinkage->source,
                   "from the shrinkage");
}

static struct bt_wood_value shrinkage(const struct direction *d)
{
    if (!isnan(d->shrinkage->value))
        return own_value(d->shrinkage, d->scatter);
    return derived(shrinkage_from(d->coefficient->value, d->saturation), d->scatter,
                   rank_of(d->coefficient->status), d->coefficient->source,
                   "from the coefficient");
}

/* Mean and spread of all ratios that the table has for hardwoods or for softwoods. */
struct ratio {
    double mean, share;
};

static bool is_softwood(const struct bt_species *s)
{
    return strncmp(s->group, "softwood", 8) == 0;
}

static struct ratio mean_ratio(bool softwood, bool tangential)
{
    double sum = 0.0, squares = 0.0, n = 0.0;
    struct ratio r;

    for (size_t i = 0; i < bt_species_count(); i++) {
        const struct bt_species *s = bt_species_at(i);
        double v = tangential ? s->ratio_tangential.value : s->ratio_radial.value;
        if (isnan(v) || is_softwood(s) != softwood)
            continue;
        sum += v;
        squares += v * v;
        n += 1.0;
    }
    r.mean = sum / n;
    r.share = sqrt((squares - sum * sum / n) / (n - 1.0)) / r.mean;
    return r;
}

static struct bt_wood_value across(const struct bt_species *s, bool tangential,
                                   const struct bt_wood_value *along)
{
    const struct bt_property *own =
        tangential ? &s->ratio_tangential : &s->ratio_radial;
    const double scatter = rule(BT_RULE_MOE_SCATTER);
    struct bt_wood_value v;
    struct ratio r;

    if (isnan(along->value))
        return unknown;
    if (!isnan(own->value))
        return derived(along->value * own->value,
                       hypot(scatter, rule(BT_RULE_RATIO_SCATTER)),
                       worse(rank_of(own->status), rank_of(along->status)), own->source,
                       "ratio to E_L");
    r = mean_ratio(is_softwood(s), tangential);
    v = derived(along->value * r.mean, hypot(scatter, r.share), MEMORY,
                "Wood Handbook, Table 5-1",
                is_softwood(s) ? "mean ratio of softwoods" : "mean ratio of hardwoods");
    if (!isnan(v.value))
        v.rows = 0;
    return v;
}

/* Specific gravity with green volume becomes that at 12 %: G/(1 - 0.265 a G),
 * a = (30 - 12)/30.  FPL-GTR-190, chapter 4, from memory. */
static double gravity_at_12(const struct bt_species *s)
{
    double g = s->gravity.value;

    return s->green_volume ? g / (1.0 - 0.265 * 0.6 * g) : g;
}

/* Density with its 12 % of water. */
static struct bt_wood_value density(const struct bt_species *s)
{
    return make_value(
        1120.0 * gravity_at_12(s), rule(BT_RULE_GRAVITY_SCATTER),
        worse(rank_of(s->gravity.status), s->green_volume ? MEMORY : SEEN),
        s->gravity.source);
}

static void fill_elastic(const struct bt_species *s, struct bt_wood *w)
{
    const double scatter = rule(BT_RULE_MOE_SCATTER);

    w->moe = own_value(&s->moe, scatter);
    w->e_along = derived(s->moe.value * rule(BT_RULE_E_OVER_MOE), scatter,
                         worse(rank_of(s->moe.status), rule_rank(BT_RULE_E_OVER_MOE)),
                         s->moe.source, "1.10 times the bending modulus");
    w->e_tangential = across(s, true, &w->e_along);
    w->e_radial = across(s, false, &w->e_along);
    w->g_along = derived(w->e_along.value * rule(BT_RULE_G_OVER_E),
                         hypot(scatter, rule(BT_RULE_RATIO_SCATTER)),
                         worse(rank_of(w->e_along.status), rule_rank(BT_RULE_G_OVER_E)),
                         s->moe.source, "E_L/16 as EN 384");
    w->c_perp = own_value(&s->c_perp, rule(BT_RULE_C_PERP_SCATTER));
}

static void fill_unknown(struct bt_wood *w)
{
    *w = (struct bt_wood){.species = NULL};
    w->shrink_radial = w->shrink_tangential = w->c_radial = w->c_tangential = unknown;
    w->saturation = w->density = w->moe = w->e_along = unknown;
    w->e_tangential = w->e_radial = w->g_along = w->c_perp = unknown;
}

void bt_wood_of_species(const struct bt_species *s, struct bt_wood *w)
{
    struct direction radial, tangential;
    double saturation;

    fill_unknown(w);
    if (!s)
        return;
    saturation = saturation_of(s);
    snprintf(w->name, sizeof w->name, "%s", s->name);
    w->species = s;
    w->nspecies = 1;
    radial = direction_of(&s->c_radial, &s->shrink_radial, saturation);
    tangential = direction_of(&s->c_tangential, &s->shrink_tangential, saturation);
    w->shrink_radial = shrinkage(&radial);
    w->shrink_tangential = shrinkage(&tangential);
    w->c_radial = coefficient(&radial);
    w->c_tangential = coefficient(&tangential);
    if (isnan(s->saturation.value))
        w->saturation = make_value(saturation, 0.0, rule_rank(BT_RULE_SATURATION),
                                   bt_wood_rule(BT_RULE_SATURATION)->source);
    else
        w->saturation = make_value(saturation, 0.0, rank_of(s->saturation.status),
                                   s->saturation.source);
    w->density = density(s);
    fill_elastic(s, w);
}

/* Fields that are averaged, and the row on which a species' value rests. */
enum field {
    SHRINK_R,
    SHRINK_T,
    COEFFICIENT_R,
    COEFFICIENT_T,
    SATURATION,
    DENSITY,
    MODULUS,
    E_ALONG,
    E_TANGENTIAL,
    E_RADIAL,
    G_ALONG,
    C_PERP,
    FIELDS
};

static struct bt_wood_value *field_of(struct bt_wood *w, enum field field)
{
    struct bt_wood_value *const at[FIELDS] = {
        &w->shrink_radial, &w->shrink_tangential, &w->c_radial, &w->c_tangential,
        &w->saturation,    &w->density,           &w->moe,      &w->e_along,
        &w->e_tangential,  &w->e_radial,          &w->g_along,  &w->c_perp};

    return at[field];
}

static const struct bt_property *either(const struct bt_property *first,
                                        const struct bt_property *second)
{
    return isnan(first->value) ? second : first;
}

static const char *row_of(const struct bt_species *s, enum field field)
{
    switch (field) {
    case SHRINK_R:
        return either(&s->shrink_radial, &s->c_radial)->row;
    case SHRINK_T:
        return either(&s->shrink_tangential, &s->c_tangential)->row;
    case COEFFICIENT_R:
        return either(&s->c_radial, &s->shrink_radial)->row;
    case COEFFICIENT_T:
        return either(&s->c_tangential, &s->shrink_tangential)->row;
    case SATURATION:
        return s->name;
    case DENSITY:
        return s->gravity.row;
    case C_PERP:
        return s->c_perp.row;
    default:
        return s->moe.row;
    }
}

/* The first of the species that has a value of its own from that row. */
static bool is_first(struct bt_wood *wood, size_t i, enum field field)
{
    for (size_t j = 0; j < i; j++) {
        if (field_of(&wood[j], field)->rows == 1 &&
            strcmp(row_of(wood[j].species, field), row_of(wood[i].species, field)) == 0)
            return false;
    }
    return true;
}

struct sums {
    size_t n;
    double sum, squares, share;
    enum rank rank;
    const char *source;
};

static struct bt_wood_value mean_of(const struct sums *s)
{
    double n = (double)s->n, mean = s->sum / n, spread = 0.0;
    struct bt_wood_value v;

    if (s->n == 0)
        return unknown;
    if (s->n > 1)
        spread = (s->squares - s->sum * s->sum / n) / (n - 1.0);
    spread = spread > 0.0 ? sqrt(spread) : 0.0; /* equal values may round below 0 */
    v = make_value(mean, 0.0, worse(s->rank, s->n > 1 ? DERIVED : SEEN), s->source);
    if (s->n > 1) {
        size_t used = strlen(v.source);
        snprintf(v.source + used, sizeof v.source - used, "; mean of %zu", s->n);
    }
    v.u = hypot(s->share / n * mean, spread);
    v.rows = s->n;
    return v;
}

/* own: of species' own rows only, each row once. */
static struct bt_wood_value average(size_t n, struct bt_wood *wood, enum field field,
                                    bool own)
{
    struct sums s = {.rank = SEEN, .source = ""};
    struct bt_wood_value v;

    for (size_t i = 0; i < n; i++) {
        const struct bt_wood_value *one = field_of(&wood[i], field);
        if (isnan(one->value) || (own && (one->rows == 0 || !is_first(wood, i, field))))
            continue;
        s.n++;
        s.sum += one->value;
        s.squares += one->value * one->value;
        s.share += one->u / one->value;
        s.rank = worse(s.rank, rank_of(one->status));
        s.source = one->source;
    }
    v = mean_of(&s);
    if (!own && s.n)
        v.rows = 0;
    return v;
}

enum { NAME_SHOWN = 40 }; /* characters of what was typed */

enum bt_status bt_wood_mean(size_t n, const struct bt_species *const species[],
                            const char *name, size_t length, struct bt_wood *wood,
                            struct bt_error *err)
{
    struct bt_wood *each, mean;
    char typed[BT_QUOTE_ROOM];

    if (n == 0)
        return bt_error_set(err, BT_ECALL, 0, 0, "no species");
    each = bt_alloc(n, sizeof *each);
    if (!each)
        return bt_error_set(err, BT_ENOMEM, 0, 0, "out of memory");
    for (size_t i = 0; i < n; i++)
        bt_wood_of_species(species[i], &each[i]);
    fill_unknown(&mean);
    mean.nspecies = n;
    if (n == 1)
        mean = each[0];
    else
        snprintf(mean.name, sizeof mean.name, "%.164s: mean of %zu species",
                 bt_quote(typed, name, length, NAME_SHOWN), n);
    for (int f = 0; n > 1 && f < FIELDS; f++) {
        struct bt_wood_value v = average(n, each, (enum field)f, true);
        if (isnan(v.value))
            v = average(n, each, (enum field)f, false);
        *field_of(&mean, (enum field)f) = v;
    }
    bt_free(each);
    *wood = mean;
    return BT_OK;
}

enum { OFFERED = 3 };

static enum bt_status not_known(const char *text, size_t length, struct bt_error *err)
{
    const struct bt_species *near[OFFERED];
    size_t n = bt_species_near(text, length, OFFERED, near);
    char quote[BT_QUOTE_ROOM];

    bt_quote(quote, text, length, BT_QUOTE_MAX);
    if (n == 0)
        return bt_error_set(err, BT_EINPUT, 0, 0,
                            "no such species: '%s', write its common or botanical "
                            "name; benchtrue knows %zu, such as Ash, white",
                            quote, bt_species_count());
    return bt_error_set(err, BT_EINPUT, 0, 0,
                        "no such species: '%s', did you mean %s%s%s%s%s?", quote,
                        near[0]->name, n > 1 ? "; " : "", n > 1 ? near[1]->name : "",
                        n > 2 ? "; " : "", n > 2 ? near[2]->name : "");
}

enum bt_status bt_wood_find(const char *text, size_t length, struct bt_wood *wood,
                            struct bt_error *err)
{
    size_t n = bt_species_find(text, length, 0, NULL);
    const struct bt_species **found;
    enum bt_status status;

    if (n == 0)
        return not_known(text, length, err);
    found = bt_alloc(n, sizeof *found);
    if (!found)
        return bt_error_set(err, BT_ENOMEM, 0, 0, "out of memory");
    bt_species_find(text, length, n, found);
    status = bt_wood_mean(n, found, text, length, wood, err);
    bt_free(found);
    return status;
}
