/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/judge/causes.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <string.h>

double bt_cause_predicted(double x, double u_x, double p, double u_p)
{
    const double v = u_x * u_x + u_p * u_p, s = fmax(x * x, v);

    if (!(u_x >= 0) || !(u_p >= 0) || !(v > 0) || !isfinite(x) || !isfinite(p) ||
        !isfinite(s))
        return NAN;
    return (log(s / v) - (x - p) * (x - p) / v + x * x / s) / 2;
}

double bt_cause_change(double c, double u, double w)
{
    const double null = u * u, own = null + w * w;

    if (!(u > 0) || !(w > 0) || !isfinite(c) || !isfinite(own))
        return NAN;
    return (log(null / own) + c * c / null - c * c / own) / 2;
}

double bt_cause_sign(double x, double u, int way)
{
    const double q = 0.9, score = way * x / u;

    if (!(u > 0) || way == 0 || isnan(score))
        return NAN;
    return log(2 *
               (q * gsl_cdf_ugaussian_P(score) + (1 - q) * gsl_cdf_ugaussian_Q(score)));
}

struct bt_measured bt_cause_damp_cup(double c, double u_c, double m, double m_other,
                                     double width, double thickness)
{
    const double u_meter = 1, uneven = 0.5;
    const double per = width * width / (8 * thickness), cup = c * (m - m_other) * per;
    const double by_meter = sqrt(2) * u_meter * c * per,
                 by_wood = u_c * (m - m_other) * per;
    const double u =
        sqrt(by_meter * by_meter + by_wood * by_wood + uneven * cup * (uneven * cup));

    if (!(c > 0) || !(width > 0) || !(thickness > 0) || !isfinite(u))
        return (struct bt_measured){NAN, NAN, false};
    return (struct bt_measured){cup, u, true};
}

/* NaN: not known. */
static void add(struct bt_cause *cause, enum bt_evidence_kind kind, double points)
{
    struct bt_cause_point *p = &cause->point[cause->npoint++];

    p->kind = kind;
    p->known = !isnan(points);
    p->points = p->known ? fmax(-BT_CAUSE_MOST, fmin(BT_CAUSE_MOST, points)) : 0;
    cause->points += p->points;
    cause->known = cause->known || p->known;
}

/* Of two models; a weight of 0 or 1 is as far as points go. */
static double of_weight(double weight)
{
    return weight >= 0 && weight <= 1 ? log(weight / (1 - weight)) : NAN;
}

static double of_prediction(const struct bt_measured *x, const struct bt_measured *p)
{
    return x->seen && p->seen ? bt_cause_predicted(x->value, x->u, p->value, p->u)
                              : NAN;
}

/* How clearly a figure is not 0: of a size that it has itself, or of its u where it is
 * smaller, so that one of 0 is evidence too. */
static double of_size(const struct bt_measured *m)
{
    return m->seen ? bt_cause_change(m->value, m->u, fmax(fabs(m->value), m->u)) : NAN;
}

/* What bends the whole panel shows on both faces, crowned on one and hollow on the
 * other.  That it does speaks for no one such cause; that it does not, against all. */
static void other_face(const struct bt_cause_evidence *e, struct bt_cause *c)
{
    if (e->other.seen && e->cup.seen)
        add(c, BT_EVIDENCE_OTHER_FACE,
            fmin(0, bt_cause_predicted(e->other.value, e->other.u, -e->cup.value,
                                       e->cup.u)));
}

static void edges(const struct bt_cause_evidence *e, struct bt_cause *c)
{
    add(c, BT_EVIDENCE_FACETS, of_weight(e->weight_faceted));
    add(c, BT_EVIDENCE_FENCE, of_prediction(&e->panel_e, &e->fence_e));
    other_face(e, c);
}

/* Bark up and down in turn is a shape of its own; all one way is one more smooth arc,
 * which facets speak against and nothing tells from damp but its size. */
static void rings(const struct bt_cause_evidence *e, struct bt_cause *c)
{
    if (e->rings_one_way)
        add(c, BT_EVIDENCE_FACETS, -of_weight(e->weight_faceted));
    else
        add(c, BT_EVIDENCE_RIPPLE, e->ripple);
    other_face(e, c);
}

/* A ripple speaks against an arc; that there is none says nothing of one. */
static void faces(const struct bt_cause_evidence *e, struct bt_cause *c)
{
    add(c, BT_EVIDENCE_FACETS, -of_weight(e->weight_faceted));
    add(c, BT_EVIDENCE_RIPPLE,
        e->rings_one_way || isnan(e->ripple) ? NAN : fmin(0, -e->ripple));
    if (!e->damp.seen && e->lay && e->cup.seen)
        add(c, BT_EVIDENCE_LYING, bt_cause_sign(e->cup.value, e->cup.u, e->lay));
    else
        add(c, BT_EVIDENCE_MOISTURE, of_prediction(&e->cup, &e->damp));
    other_face(e, c);
}

/* Lines are straight where the bow is what noise makes of none, against one as large as
 * the twist; the cup says nothing, for joints make one too. */
static double straight(const struct bt_cause_evidence *e)
{
    if (!e->twist.seen || !e->bow.seen)
        return NAN;
    return -bt_cause_change(e->bow.value, e->bow.u,
                            fmax(fabs(e->twist.value), e->twist.u));
}

static void wind(const struct bt_cause_evidence *e, struct bt_cause *c)
{
    const double points = straight(e);

    add(c, BT_EVIDENCE_TWIST, of_size(&e->twist));
    /* no twist: nothing for straight lines to speak for */
    add(c, BT_EVIDENCE_STRAIGHT, c->points > 0 || !(points > 0) ? points : 0);
}

static void clamps(const struct bt_cause_evidence *e, struct bt_cause *c)
{
    add(c, BT_EVIDENCE_CLAMPS,
        e->eased.seen ? bt_cause_change(e->eased.value, e->eased.u,
                                        fmax(fabs(e->clamped), e->eased.u))
                      : NAN);
}

static void weight(const struct bt_cause_evidence *e, struct bt_cause *c)
{
    /* it lay so that nothing sags */
    if (e->sag.seen && e->sag.value == 0)
        add(c, BT_EVIDENCE_SAG, -BT_CAUSE_MOST);
    else
        add(c, BT_EVIDENCE_SAG, of_prediction(&e->lying, &e->sag));
}

static void drying(const struct bt_cause_evidence *e, struct bt_cause *c)
{
    const double w = e->matters > 0   ? e->matters
                     : e->change.seen ? fmax(fabs(e->change.value), e->change.u)
                                      : NAN;

    add(c, BT_EVIDENCE_CHANGE,
        e->change.seen ? bt_cause_change(e->change.value, e->change.u, w) : NAN);
}

static bool goes_before(const struct bt_cause *a, const struct bt_cause *b)
{
    return a->known != b->known ? a->known : a->points > b->points;
}

/* Few: insertion, equal ones keep the order of the list. */
static void sort(struct bt_cause cause[BT_CAUSES])
{
    for (size_t i = 1; i < BT_CAUSES; i++) {
        const struct bt_cause one = cause[i];
        size_t to = i;

        for (; to > 0 && goes_before(&one, &cause[to - 1]); to--)
            cause[to] = cause[to - 1];
        cause[to] = one;
    }
}

static bool not_flat(const struct bt_measured *m)
{
    return m->seen && fabs(m->value) > 2 * m->u;
}

void bt_causes_score(const struct bt_cause_evidence *e, struct bt_causes *out)
{
    static void (*const score[BT_CAUSES])(const struct bt_cause_evidence *,
                                          struct bt_cause *) = {
        [BT_CAUSE_EDGES] = edges,   [BT_CAUSE_RINGS] = rings,
        [BT_CAUSE_FACES] = faces,   [BT_CAUSE_WIND] = wind,
        [BT_CAUSE_CLAMPS] = clamps, [BT_CAUSE_WEIGHT] = weight,
        [BT_CAUSE_DRYING] = drying,
    };

    memset(out, 0, sizeof *out);
    for (int k = 0; k < BT_CAUSES; k++) {
        out->cause[k].kind = (enum bt_cause_kind)k;
        score[k](e, &out->cause[k]);
    }
    sort(out->cause);
    out->shown = out->cause[0].known && out->cause[0].points > log(3) &&
                 (not_flat(&e->cup) || not_flat(&e->bow) || not_flat(&e->twist));
    out->clear = out->shown && out->cause[0].points - out->cause[1].points >= 3;
    out->test = out->cause[0].known
                    ? bt_cause_test(out->cause[0].kind, out->cause[1].kind)
                    : "";
}
