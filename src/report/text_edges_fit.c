/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/text_edges_fit.h"

#include <math.h>

#include "report/joint_words.h"
#include "report/text_parts.h"

/* A hollow beyond this, mm, is more than anyone planes into a joint (common practice,
 * no source): what clamps close beyond it is of no use to tell. */
static const double sensible_hollow = 3;

/* Columns of the table of springs. */
enum { AIM = 11, MIDDLE = 29, BESIDE = 42, EACH = 56, MOST = 69, DRY = 84 };

static bool is_open(const struct bt_dry_joint *fit)
{
    return fit->angle_verdict == BT_DRY_OPEN || fit->wind_verdict == BT_DRY_OPEN ||
           fit->straight_verdict == BT_DRY_OPEN;
}

const struct bt_edges_dry *bt_edges_worst_dry(const struct bt_edges_answer *answer)
{
    const struct bt_edges_dry *worst = NULL;

    for (size_t i = 0; i < answer->ndry; i++)
        if (is_open(&answer->dry[i].fit) &&
            (!worst || answer->dry[i].fit.largest > worst->fit.largest))
            worst = &answer->dry[i];
    return worst;
}

void bt_say_mend(struct bt_buffer *out, const struct bt_edges_dry *dry)
{
    switch (dry->fit.mend) {
    case BT_MEND_NOTHING:
        bt_buffer_text(out, "nothing to mend");
        break;
    case BT_MEND_ANGLE:
        bt_buffer_text(out, "run both its edges again, each with the face of its mark "
                            "to the fence");
        break;
    case BT_MEND_HOLLOW:
        bt_buffer_text(out, "too hollow for the clamps: a pass off the ends of both "
                            "edges");
        break;
    case BT_MEND_CROWN:
        bt_buffer_text(out, "crowned, a fault that clamps cannot cure: a pass off the "
                            "middle of both edges until it touches at the ends");
        break;
    case BT_MEND_WIND:
        bt_buffer_text(out, "an edge is twisted: joint both again, the face kept "
                            "against the fence from end to end");
        break;
    case BT_MEND_READ_MORE:
        bt_buffer_text(out,
                       "read more: both faces at both ends and in the middle, with "
                       "thinner leaves");
        break;
    }
}

static enum bt_verdict colour_of(enum bt_dry_verdict verdict)
{
    switch (verdict) {
    case BT_DRY_CLOSES:
        return BT_WITHIN;
    case BT_DRY_OPEN:
        return BT_OVER;
    case BT_DRY_TOO_CLOSE:
        return BT_TOO_CLOSE;
    case BT_DRY_NOT_SEEN:
        break;
    }
    return BT_NOT_SEEN;
}

static void add_dry_row(struct bt_buffer *out, const char *name,
                        const struct bt_measured *m, const char *words,
                        enum bt_dry_verdict verdict,
                        const struct bt_text_options *options)
{
    bt_buffer_format(out, "    %s", name);
    bt_buffer_column(out, 18);
    bt_say_measured(out, m, options->system);
    if (m->seen)
        bt_buffer_format(out, "%s%s", *words ? " " : "", words);
    bt_buffer_column(out, 66);
    bt_text_paint(out, options, colour_of(verdict), bt_dry_verdict_name(verdict));
}

/* A hollow larger than the glue bridges may be said to close: what closes it. */
static void say_why_closed(struct bt_buffer *out, const struct bt_edges_answer *answer,
                           const struct bt_edges_dry *dry, enum bt_system system)
{
    const size_t joint = dry->read->joint;
    const struct bt_edges_spring *spring =
        joint < answer->nspring ? &answer->spring[joint] : NULL;

    if (dry->fit.straight_verdict != BT_DRY_CLOSES || !dry->fit.hollow.seen)
        return;
    if (!(fabs(dry->fit.hollow.value) > answer->gap.most)) {
        bt_buffer_text(out, ": within what the glue bridges");
        return;
    }
    bt_buffer_text(out, ": the clamps close it");
    if (spring && spring->read && !isnan(spring->dry.force_planned)) {
        bt_buffer_text(out, " with ");
        bt_say_force(out, spring->dry.force_planned, system);
        bt_buffer_text(out, " at most each");
    }
}

static void add_dry(struct bt_buffer *out, const struct bt_edges_answer *answer,
                    const struct bt_edges_dry *dry,
                    const struct bt_text_options *options)
{
    const struct bt_dry_joint *fit = &dry->fit;
    const double t = fmin(answer->setup.strip[dry->read->joint].thickness,
                          answer->setup.strip[dry->read->joint + 1].thickness);
    /* what the wind opens at one end beside the angle in the middle */
    const struct bt_measured wind = {fit->wind.value * t / 2, fit->wind.u * t / 2,
                                     fit->wind.seen};

    bt_buffer_text(out, "  ");
    bt_say_joint(out, answer->job, dry->read->joint);
    bt_buffer_format(out, ": %zu gaps read, the largest ", dry->read->ngap);
    bt_say_length(out, fit->largest, 0, options->system);
    bt_buffer_text(out, "\n");
    add_dry_row(out, "angle", &fit->opening,
                !(fit->opening.value > fit->opening.u / 2) ? ""
                : fit->opens_at_show                       ? "open at the show face"
                                                           : "open at the other face",
                fit->angle_verdict, options);
    bt_buffer_text(out, "\n");
    add_dry_row(out, "along, ends", &wind, "at the ends, over the middle",
                fit->wind_verdict, options);
    bt_buffer_text(out, "\n");
    add_dry_row(out, "along, middle", &fit->hollow,
                !(fabs(fit->hollow.value) > fit->hollow.u / 2) ? ""
                : fit->hollow.value < 0 ? "crowned: touches in the middle"
                                        : "hollow: touches at the ends",
                fit->straight_verdict, options);
    say_why_closed(out, answer, dry, options->system);
    bt_buffer_text(out, "\n    ");
    bt_say_mend(out, dry);
    bt_buffer_text(out, "\n");
    if (fit->hollow.seen && fit->hollow.value < -2 * fit->hollow.u &&
        fit->mend != BT_MEND_CROWN)
        bt_buffer_text(out,
                       "    crowned, a fault that clamps cannot cure: they only rock "
                       "it\n");
}

void bt_text_dry_fits(struct bt_buffer *out, const struct bt_edges_answer *answer,
                      const struct bt_text_options *options)
{
    if (answer->ndry == 0)
        return;
    bt_buffer_text(out, "\nDry fit: what stands open, against ");
    bt_say_length(out, answer->gap.most, 0, options->system);
    bt_buffer_text(out, " that the glue bridges\n");
    for (size_t i = 0; i < answer->ndry; i++)
        add_dry(out, answer, &answer->dry[i], options);
}

/* ---- spring joints ---- */

static void add_length(struct bt_buffer *out, double mm, enum bt_system system)
{
    if (isnan(mm))
        bt_buffer_text(out, "not known");
    else
        bt_say_length(out, mm, mm / 4, system);
}

static void say_sensible(struct bt_buffer *out, enum bt_system system)
{
    bt_buffer_text(out, "over ");
    /* whole millimetres, else two digits */
    bt_say_length(out, sensible_hollow,
                  system == BT_SYSTEM_MM ? 0 : sensible_hollow / 4, system);
}

static void add_spring(struct bt_buffer *out, const struct bt_edges_spring *s,
                       enum bt_system system)
{
    const struct bt_spring_joint *aim = &s->aim;

    bt_buffer_format(out, "  joint %zu", s->joint + 1);
    bt_buffer_column(out, AIM);
    add_length(out, aim->aim, system);
    bt_buffer_column(out, MIDDLE);
    bt_say_force(out, aim->force_middle, system);
    bt_buffer_column(out, BESIDE);
    add_length(out, aim->gap_middle, system);
    bt_buffer_column(out, EACH);
    bt_say_force(out, aim->force_planned, system);
    bt_buffer_column(out, MOST);
    if (aim->closes_most > sensible_hollow) {
        say_sensible(out, system);
    } else {
        add_length(out, aim->closes_most, system);
    }
    if (s->read) {
        bt_buffer_column(out, DRY);
        if (s->dry.crown) {
            bt_buffer_text(out, "crowned");
        } else {
            add_length(out, s->dry.hollow, system);
            bt_buffer_text(out, ": ");
            bt_say_force(out, s->dry.force_planned, system);
        }
    }
    bt_buffer_text(out, "\n");
}

static void add_spring_head(struct bt_buffer *out, const struct bt_edges_answer *answer,
                            bool read, enum bt_system system)
{
    bt_buffer_text(out, "\nSpring joint: the hollow to plane into both edges together "
                        "(");
    bt_buffer_name(out, answer->wood);
    bt_buffer_text(out, answer->woods_differ ? " and others, two boards a joint; "
                                             : ", two boards a joint; ");
    if (answer->clamp_assumed)
        bt_buffer_text(out, "no clamps are planned: one at the middle");
    else
        bt_buffer_format(out, "%zu clamps along it", answer->nclamp);
    if (!isnan(answer->clamp_force)) {
        bt_buffer_text(out, " of ");
        bt_say_force(out, answer->clamp_force, system);
    }
    bt_buffer_text(out, ")\n  joint");
    bt_buffer_column(out, AIM);
    bt_buffer_text(out, "aim");
    bt_buffer_column(out, MIDDLE);
    bt_buffer_text(out, "one clamp");
    bt_buffer_column(out, BESIDE);
    bt_buffer_text(out, "gap beside");
    bt_buffer_column(out, EACH);
    bt_buffer_text(out, "as planned");
    bt_buffer_column(out, MOST);
    bt_buffer_text(out, "closes most");
    if (read) {
        bt_buffer_column(out, DRY);
        bt_buffer_text(out, "dry fit");
    }
    bt_buffer_text(out, "\n");
}

void bt_text_springs(struct bt_buffer *out, const struct bt_edges_answer *answer,
                     enum bt_system system)
{
    bool read = false, over = false;

    if (answer->nspring == 0) {
        if (*answer->spring_missing) {
            bt_buffer_text(out, "\nSpring joint: not computed: ");
            bt_buffer_name(out, answer->spring_missing);
            bt_buffer_text(out, ".\n");
        }
        return;
    }
    for (size_t i = 0; i < answer->nspring; i++) {
        read |= answer->spring[i].read;
        over |= answer->spring[i].aim.closes_most > sensible_hollow;
    }
    add_spring_head(out, answer, read, system);
    for (size_t i = 0; i < answer->nspring; i++)
        add_spring(out, &answer->spring[i], system);
    if (over) {
        bt_buffer_text(out, "  Closes most: ");
        say_sensible(out, system);
        bt_buffer_text(out, " is more than you would plane; there it is not the clamps "
                            "that set the limit.\n");
    }
    bt_buffer_text(out, "  One clamp: the force that closes the middle; a gap stays "
                        "beside it.  As planned: the most that one of the\n  planned "
                        "clamps needs.  Hollow only: a crown is a fault that clamps "
                        "cannot cure.\n");
}
