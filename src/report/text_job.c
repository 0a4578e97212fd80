/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/text.h"

#include <math.h>

#include "report/joint_words.h"
#include "report/text_job_fit.h"
#include "report/text_parts.h"
#include "report/words.h"

static const char *const instrument_words[] = {
    [BT_INST_STRAIGHTEDGE] = "straightedge",
    [BT_INST_FEELERS] = "feelers",
    [BT_INST_DIAL] = "dial",
    [BT_INST_BAR] = "bar",
    [BT_INST_LEVEL] = "level",
    [BT_INST_STICKS] = "winding sticks",
    [BT_INST_SQUARE] = "square",
    [BT_INST_ANGLE_GAUGE] = "angle gauge",
};

static void add_length(struct bt_buffer *out, double mm, enum bt_system system,
                       enum bt_length_style style)
{
    char text[BT_PRINT_ROOM];

    bt_buffer_text(out, bt_print_length(text, mm, 0, system, style));
}

static void add_panel(struct bt_buffer *out, const struct bt_job *job)
{
    const struct bt_panel *panel = &job->panel;

    if (isnan(panel->length) || isnan(panel->width)) {
        bt_buffer_text(out, "Panel:     size not stated, taken from the readings\n");
        return;
    }
    bt_buffer_text(out, "Panel:     ");
    add_length(out, panel->length, job->system, BT_LENGTH_RULE);
    bt_buffer_text(out, " long, ");
    add_length(out, panel->width, job->system, BT_LENGTH_RULE);
    bt_buffer_text(out, " wide");
    if (!isnan(panel->thickness)) {
        bt_buffer_text(out, ", ");
        add_length(out, panel->thickness, job->system, BT_LENGTH_RULE);
        bt_buffer_text(out, " thick");
    }
    if (panel->species && *panel->species) {
        bt_buffer_text(out, ", ");
        bt_buffer_name(out, panel->species);
    }
    bt_buffer_text(out, "\n");
}

static void add_limits(struct bt_buffer *out, const struct bt_job *job)
{
    const struct bt_limits *limits = &job->limits;
    const char *between = "";

    bt_buffer_text(out, "Limits:    ");
    for (int i = 0; i < BT_FIGURE_COUNT; i++) {
        if (isnan(limits->limit[i]))
            continue;
        bt_buffer_format(out, "%s%s ", between, bt_figure_name((enum bt_figure)i));
        add_length(out, limits->limit[i], job->system, BT_LENGTH_FEELER);
        if (i == BT_FIGURE_LOCAL) {
            bt_buffer_text(out, " per ");
            add_length(out, limits->local_span, job->system, BT_LENGTH_RULE);
        }
        between = ", ";
    }
    if (!*between) {
        bt_buffer_text(out, "none stated\n");
        return;
    }
    if (*limits->use)
        bt_buffer_format(out, " (started from: %s)", limits->use);
    bt_buffer_text(out, ", asked at ");
    bt_words_confidence(out, limits->confidence);
    bt_buffer_text(out, " confidence\n");
}

static void add_instruments(struct bt_buffer *out, const struct bt_job *job)
{
    for (size_t i = 0; i < job->ninstrument; i++) {
        bt_buffer_text(out, i ? ", " : "Instruments: ");
        bt_buffer_name(out, job->instrument[i].name);
        bt_buffer_format(out, " (%s)", instrument_words[job->instrument[i].kind]);
    }
    bt_buffer_text(out, job->ninstrument ? "\n" : "");
    for (size_t i = 0; i < job->nfeeler; i++) {
        bt_buffer_text(out, i ? ", " : "Feelers:   ");
        bt_buffer_name(out, job->feeler[i].name);
        bt_buffer_text(out, " ");
        add_length(out, job->feeler[i].mm, job->system, BT_LENGTH_FEELER);
    }
    bt_buffer_text(out, job->nfeeler ? "\n" : "");
}

static void add_boards(struct bt_buffer *out, const struct bt_job *job)
{
    bt_buffer_text(out, "Boards:    ");
    if (job->nboard == 0)
        bt_buffer_text(out, "none listed");
    else
        bt_words_count(out, job->nboard, "board", "boards");
    if (job->njoint) {
        bt_buffer_text(out, ", joints at y = ");
        for (size_t i = 0; i < job->njoint; i++) {
            bt_buffer_text(out, i ? ", " : "");
            add_length(out, job->joint[i], job->system, BT_LENGTH_RULE);
        }
    }
    bt_buffer_text(out, "\n");
}

/* `3 square, 2 doubled`. */
static void add_fence(struct bt_buffer *out, const struct bt_job *job)
{
    const struct bt_fence_setup *fence = &job->fence;
    size_t count[BT_FENCE_KINDS] = {0};
    const char *between = ": ";

    if (fence->ncheck == 0 && fence->blank == 0)
        return;
    for (size_t i = 0; i < fence->ncheck; i++)
        count[fence->check[i].kind]++;
    bt_buffer_text(out, "Fence:     ");
    bt_words_count(out, fence->ncheck, "check", "checks");
    for (int k = 0; k < BT_FENCE_KINDS; k++) {
        if (!count[k])
            continue;
        bt_buffer_format(out, "%s%zu %s", between, count[k],
                         bt_fence_kind_name((enum bt_fence_kind)k));
        between = ", ";
    }
    bt_buffer_format(out, "; pattern %s\n", bt_pattern_name(fence->pattern));
}

static void add_dry_fits(struct bt_buffer *out, const struct bt_job *job)
{
    for (size_t i = 0; i < job->ndry_fit; i++) {
        bt_buffer_format(out, "%s%zu", i ? ", " : "Dry fit:   joint ",
                         job->dry_fit[i].joint + 1);
        bt_buffer_text(out, " (");
        bt_words_count(out, job->dry_fit[i].ngap, "gap", "gaps");
        bt_buffer_text(out, ")");
    }
    bt_buffer_text(out, job->ndry_fit ? "\n" : "");
}

static void add_glue(struct bt_buffer *out, const struct bt_job *job)
{
    if (job->glue.kind)
        bt_buffer_format(out, "Glue:      %s\n", job->glue.kind->name);
    for (size_t i = 0; i < job->nclamp; i++) {
        const struct bt_clamp *clamp = &job->clamp[i];

        bt_buffer_format(out, "%s%zu ", i ? ", " : "Clamps:    ", clamp->kind.count);
        bt_buffer_name(out, clamp->name);
        if (!isnan(clamp->kind.force)) {
            bt_buffer_text(out, " of ");
            bt_say_force(out, clamp->kind.force, job->system);
        }
    }
    bt_buffer_text(out, job->nclamp ? "\n" : "");
}

static void add_thickness(struct bt_buffer *out, const struct bt_job *job)
{
    if (job->nthickness == 0)
        return;
    bt_buffer_text(out, "Thickness: ");
    bt_words_count(out, job->nthickness, "place", "places");
    bt_buffer_text(out, "\n");
}

static void add_note(struct bt_buffer *out, const struct bt_note *note)
{
    bt_buffer_text(out, "  - ");
    bt_buffer_name(out, note->file);
    if (note->line)
        bt_buffer_format(out, ":%zu", note->line);
    bt_buffer_text(out, ": ");
    bt_buffer_name(out, note->text);
    bt_buffer_text(out, "\n");
}

static void add_notes(struct bt_buffer *out, size_t n, const struct bt_note note[])
{
    for (size_t i = 0; i < n; i++)
        add_note(out, &note[i]);
}

void bt_text_notes(struct bt_buffer *out, const struct bt_job *job)
{
    bool any = false;

    for (size_t i = 0; i < job->nnote; i++) {
        if (!job->note[i].matters)
            continue;
        bt_buffer_text(out, any ? "" : "\nOf the job's files (benchtrue check)\n");
        add_note(out, &job->note[i]);
        any = true;
    }
}

static void add_set(struct bt_buffer *out, const struct bt_set *set)
{
    bt_buffer_text(out, "\nSet ");
    bt_buffer_name(out, set->name);
    bt_buffer_format(out, ", %s, %s face: ", *set->date ? set->date : "undated",
                     set->face == BT_FACE_TOP ? "top" : "bottom");
    bt_text_readings(out, set);
    bt_buffer_text(out, "\n");
    for (size_t i = 0; i < set->nfile; i++) {
        bt_buffer_text(out, i ? ", " : "  from ");
        bt_buffer_name(out, set->file[i]);
    }
    if (set->merged) {
        bt_buffer_text(out, "\n  ");
        bt_words_count(out, set->merged, "place was", "places were");
        bt_buffer_text(out, " taken as one with another");
    }
    bt_buffer_text(out, "\n");
    add_notes(out, set->nnote, set->note);
}

enum bt_status bt_text_job(const struct bt_job *job, struct bt_buffer *out)
{
    bt_buffer_text(out, "No fault found.\n\n");
    if (job->title && *job->title) {
        bt_buffer_name(out, job->title);
        bt_buffer_text(out, "\n");
    }
    add_panel(out, job);
    add_limits(out, job);
    add_instruments(out, job);
    if (*job->folder)
        add_boards(out, job);
    bt_text_job_stock(out, job);
    add_fence(out, job);
    add_dry_fits(out, job);
    add_glue(out, job);
    add_thickness(out, job);
    bt_text_job_climate(out, job);
    bt_text_job_layout(out, job);
    bt_text_job_opening(out, job);
    bt_text_job_fixings(out, job);
    add_notes(out, job->nnote, job->note);
    for (size_t i = 0; i < job->nset; i++)
        add_set(out, &job->set[i]);
    if (job->nset == 0)
        bt_buffer_text(out, "\nNo set of readings is named: write a [readings NAME] "
                            "section with files = ...\n");
    return bt_buffer_status(out);
}
