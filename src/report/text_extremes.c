/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "report/text_parts.h"
#include "report/words.h"

static const double degree = 57.29577951308232; /* 180/pi */

/* ---- straightedge ---- */

/* Directions that are laid on with every length, those at a stated angle last. */
static size_t directions(const struct bt_set_result *r)
{
    return BT_EDGE_DIRECTIONS + r->ndirection;
}

/* Direction d under length i. */
static const struct bt_edge_figure *edge_of(const struct bt_set_result *r, size_t i,
                                            size_t d)
{
    return d < BT_EDGE_DIRECTIONS
               ? &r->extremes.edge[BT_EDGE_DIRECTIONS * i + d]
               : &r->extremes.edge[BT_EDGE_DIRECTIONS * r->nspan + r->ndirection * i +
                                   d - BT_EDGE_DIRECTIONS];
}

/* A diagonal is laid on where there are places on it; the others are asked for. */
static bool is_missed(const struct bt_edge_figure *edge)
{
    return !edge->gap.seen && edge->at.direction != BT_EDGE_DIAGONAL_AC &&
           edge->at.direction != BT_EDGE_DIAGONAL_BD;
}

static bool any_missed(const struct bt_set_result *r, size_t i)
{
    for (size_t d = 0; d < directions(r); d++)
        if (is_missed(edge_of(r, i, d)))
            return true;
    return false;
}

/* Where the deepest place is, and where nobody looked. */
static void add_where(struct bt_buffer *out, const struct bt_set_result *r, size_t i,
                      const struct bt_edge_figure *worst, enum bt_system system)
{
    const char *between = "";

    bt_buffer_column(out, BT_COLUMN_VALUE);
    if (worst && worst->gap.value > 0) {
        bt_words_way(out, worst->at.direction, worst->at.angle);
        bt_buffer_text(out, ", deepest at ");
        bt_words_place(out, &r->flatness.used->point[worst->at.worst.deepest], system);
        between = "; ";
    }
    for (size_t d = 0; d < directions(r); d++) {
        const struct bt_edge_figure *edge = edge_of(r, i, d);

        if (!is_missed(edge))
            continue;
        bt_buffer_format(out, "%snot seen ", between);
        bt_words_way(out, edge->at.direction, edge->at.angle);
        between = ", ";
    }
    bt_buffer_text(out, "\n");
}

static void add_edge(struct bt_buffer *out, const struct bt_set_result *r, size_t i,
                     const struct bt_text_options *options)
{
    const struct bt_edge_figure *worst = bt_extremes_worst(&r->extremes, r->span[i]);
    char text[BT_PRINT_ROOM];

    bt_buffer_format(out, "  %s", bt_figure_name(BT_FIGURE_LOCAL));
    bt_buffer_column(out, BT_COLUMN_VALUE);
    if (!worst)
        bt_buffer_text(out, "not seen");
    else if (worst->gap.value > 0)
        bt_buffer_text(out, bt_print_length(text, worst->gap.value, worst->gap.u,
                                            options->system, BT_LENGTH_FEELER));
    else
        bt_buffer_text(out, "no gap");
    bt_buffer_text(out, " under ");
    bt_words_rule(out, r->span[i], options->system);
    if (worst && worst->gap.value > 0) {
        bt_buffer_column(out, BT_COLUMN_U);
        bt_buffer_text(out, bt_print_u_bare(text, worst->gap.u, options->system));
    }
    if (i == 0)
        bt_text_judged(out, r, BT_FIGURE_LOCAL, options);
    bt_buffer_text(out, "\n");
    bt_text_sure(out, bt_extremes_sure(&r->extremes, r->span[i]), options->system);
    if (worst && (worst->gap.value > 0 || any_missed(r, i)))
        add_where(out, r, i, worst, options->system);
}

static void add_each_way(struct bt_buffer *out, const struct bt_set_result *r, size_t i,
                         enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    for (size_t d = 0; d < directions(r); d++) {
        const struct bt_edge_figure *e = edge_of(r, i, d);

        bt_buffer_column(out, BT_COLUMN_VALUE);
        bt_words_way(out, e->at.direction, e->at.angle);
        bt_buffer_text(out, ": ");
        if (!e->gap.seen)
            bt_buffer_text(out, "not seen");
        else if (!(e->gap.value > 0))
            bt_buffer_text(out, "no gap");
        else
            bt_buffer_text(out, bt_print_length(text, e->gap.value, e->gap.u, system,
                                                BT_LENGTH_FEELER));
        bt_buffer_text(out, "\n");
    }
}

void bt_text_edges(struct bt_buffer *out, const struct bt_set_result *r,
                   const struct bt_text_options *options)
{
    for (size_t i = 0; i < r->nspan; i++) {
        /* nobody asked, and nothing is there to tell */
        if (!r->span_asked && !options->details &&
            !bt_extremes_worst(&r->extremes, r->span[i]))
            continue;
        add_edge(out, r, i, options);
        if (options->details)
            add_each_way(out, r, i, options->system);
    }
}

/* ---- joints ---- */

static void add_kink(struct bt_buffer *out, const struct bt_kink *kink)
{
    char text[BT_PRINT_ROOM];

    if (!kink->degree.seen) {
        bt_buffer_text(out, "not seen");
        return;
    }
    bt_buffer_text(out, bt_print_angle(text, fabs(kink->degree.value) / degree,
                                       kink->degree.u / degree));
    bt_buffer_text(out, kink->degree.value > 0 ? " hollow" : " crowned");
}

/* The largest kink that is seen; njoint where none is. */
static size_t largest(const struct bt_facets *facets)
{
    size_t found = facets->njoint;

    for (size_t i = 0; i < facets->njoint; i++)
        if (facets->kink[i].degree.seen &&
            (found == facets->njoint || fabs(facets->kink[i].degree.value) >
                                            fabs(facets->kink[found].degree.value)))
            found = i;
    return found;
}

/* Joints are counted from the back edge as the panel lay. */
static void add_sentence(struct bt_buffer *out, const struct bt_set_result *r,
                         enum bt_system system)
{
    const struct bt_facets *facets = &r->extremes.facets;
    const size_t most = largest(facets);

    switch (facets->preferred) {
    case BT_FACETS_FACETED:
        bt_buffer_text(out, "flat boards with kinks between them: the cup sits in the "
                            "joints");
        break;
    case BT_FACETS_SMOOTH:
        bt_buffer_text(out, "one smooth curve: the cup does not sit in the joints\n");
        return;
    case BT_FACETS_TOO_CLOSE:
        bt_buffer_text(out, "whether the cup sits in the joints or is one smooth curve "
                            "is too close to call");
        break;
    case BT_FACETS_NOT_SEEN:
        bt_buffer_text(
            out, "whether the cup sits in the joints is not seen: that takes lines "
                 "across\n           with two places or more on every board\n");
        return;
    }
    if (most < facets->njoint) {
        bt_buffer_format(out, "\n           largest kink at joint %zu, y ", most + 1);
        bt_words_rule(out, facets->kink[most].y, system);
        bt_buffer_text(out, ": ");
        add_kink(out, &facets->kink[most]);
    }
    bt_buffer_text(out, "\n");
}

void bt_text_joints(struct bt_buffer *out, const struct bt_set_result *r,
                    const struct bt_text_options *options)
{
    const struct bt_facets *facets = &r->extremes.facets;
    char text[BT_PRINT_ROOM];

    if (!facets->njoint)
        return;
    bt_buffer_text(out, "\nJoints:    ");
    add_sentence(out, r, options->system);
    if (!options->details)
        return;
    for (size_t i = 0; i < facets->njoint; i++) {
        bt_buffer_format(out, "  joint %zu at y ", i + 1);
        bt_words_rule(out, facets->kink[i].y, options->system);
        bt_buffer_column(out, 30);
        add_kink(out, &facets->kink[i]);
        if (facets->kink[i].degree.seen) {
            bt_buffer_column(out, BT_COLUMN_LIMIT);
            bt_buffer_format(
                out, "u %s",
                bt_print_angle(text, facets->kink[i].degree.u / degree, 0));
        }
        bt_buffer_text(out, "\n");
    }
    if (!isnan(facets->weight_faceted))
        bt_buffer_format(out, "  weight of kinks against one curve  %s\n",
                         bt_print_share(text, facets->weight_faceted));
}

void bt_text_joints_advice(struct bt_buffer *out, const struct bt_set_result *r)
{
    const struct bt_judgement *cup = bt_set_judgement(r, BT_FIGURE_CUP);

    if (!cup || cup->verdict != BT_OVER)
        return;
    if (r->extremes.facets.preferred == BT_FACETS_FACETED)
        bt_buffer_text(out, "  - The cup sits in the joints, so the edges were not "
                            "square: check the fence before the next glue-up.\n");
    else if (r->extremes.facets.preferred == BT_FACETS_SMOOTH)
        bt_buffer_text(out, "  - The cup does not sit in the joints, so the boards "
                            "bent: let the panel come to rest with air on both faces "
                            "(common practice) before you plane.\n");
}

/* ---- zone ---- */

void bt_text_contacts(struct bt_buffer *out, const struct bt_set_result *r,
                      enum bt_system system)
{
    const struct bt_zone *zone = &r->extremes.zone;

    if (r->extremes.nedge) {
        char width[BT_PRINT_ROOM];
        bt_buffer_text(out, "  straightedge lines");
        bt_buffer_column(out, 32);
        bt_buffer_format(
            out, "places in bands %s wide\n",
            bt_print_length(width, r->extremes.band, 0, system, BT_LENGTH_FEELER));
    }
    if (!r->extremes.zone_seen || !zone->ncontact)
        return;
    bt_buffer_text(out, "  zone rests on");
    for (int side = 1; side >= -1; side -= 2)
        for (int k = 0; k < zone->ncontact; k++) {
            if (zone->contact[k].side != side)
                continue;
            bt_buffer_column(out, 32);
            bt_words_place(out, &r->flatness.used->point[zone->contact[k].point],
                           system);
            bt_buffer_text(out, side > 0 ? " (upper)\n" : " (lower)\n");
        }
}
