/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/text_parts.h"

#include <math.h>

#include "report/words.h"

/* The judgement that matters most among those of one verdict: the largest figure
 * for its limit.  NULL where there is none. */
static const struct bt_judgement *worst(const struct bt_set_result *r,
                                        enum bt_verdict verdict)
{
    const struct bt_judgement *found = NULL;

    for (size_t i = 0; i < r->njudgement; i++) {
        const struct bt_judgement *j = &r->judgement[i];

        if (j->verdict != verdict)
            continue;
        if (!found || fabs(j->value) / j->limit > fabs(found->value) / found->limit)
            found = j;
    }
    return found;
}

/* Where wood stands too high. */
static void add_take_down(struct bt_buffer *out, const struct bt_set_result *r,
                          const struct bt_judgement *j, enum bt_system system)
{
    bool up = j->value > 0;

    switch (j->figure) {
    case BT_FIGURE_CUP:
        bt_buffer_text(out, up ? "take down the middle, all along its length"
                               : "take down the back and front edges");
        return;
    case BT_FIGURE_BOW:
        bt_buffer_text(out, up ? "take down the middle, across the whole width"
                               : "take down the left and right ends");
        return;
    case BT_FIGURE_TWIST:
        bt_buffer_text(out,
                       up ? "take down corners A and C" : "take down corners B and D");
        return;
    case BT_FIGURE_RANGE:
    case BT_FIGURE_COUNT:
        break;
    }
    bt_buffer_text(out, "take down the highest spot, at ");
    bt_words_place(out, &r->flatness.used->point[r->flatness.residual.highest], system);
}

static const char *lines_for(enum bt_figure figure)
{
    switch (figure) {
    case BT_FIGURE_CUP:
        return "the lines across the width";
    case BT_FIGURE_BOW:
        return "the lines along the length";
    case BT_FIGURE_TWIST:
        return "both diagonals";
    case BT_FIGURE_RANGE:
    case BT_FIGURE_COUNT:
        break;
    }
    return "the lines through the highest and the lowest place";
}

static void add_read_finer(struct bt_buffer *out, const struct bt_set_result *r,
                           enum bt_figure figure)
{
    bt_buffer_format(out, "read %s again, at more places", lines_for(figure));
    if (r->set->kinds[BT_READ_GAP])
        bt_buffer_text(out, " or with feelers of finer steps");
}

/* The unseen shape that hides a figure, NULL where none is named for it. */
static const struct bt_unseen *hiding(const struct bt_set_result *r,
                                      enum bt_figure figure)
{
    for (size_t i = 0; i < r->flatness.nunseen; i++) {
        const struct bt_unseen *unseen = &r->flatness.unseen[i];
        enum bt_unseen_kind kind = unseen->kind;

        if ((figure == BT_FIGURE_TWIST && kind == BT_UNSEEN_TWIST) ||
            (figure == BT_FIGURE_BOW &&
             (kind == BT_UNSEEN_BOW || kind == BT_UNSEEN_BOWL ||
              kind == BT_UNSEEN_HINGE_X)) ||
            (figure == BT_FIGURE_CUP &&
             (kind == BT_UNSEEN_CUP || kind == BT_UNSEEN_BOWL ||
              kind == BT_UNSEEN_HINGE_Y)))
            return unseen;
    }
    return figure == BT_FIGURE_RANGE && r->flatness.nunseen ? &r->flatness.unseen[0]
                                                            : NULL;
}

static void add_read_for(struct bt_buffer *out, const struct bt_set_result *r,
                         enum bt_figure figure, enum bt_system system)
{
    const struct bt_unseen *unseen = hiding(r, figure);

    bt_buffer_text(out, "read ");
    if (unseen)
        bt_words_read_this(out, unseen, r->flatness.used->point, system);
    else
        bt_buffer_text(out, bt_words_read_for(figure));
}

/* `hollow 1.9 mm across the width (cup), limit 1 mm; twist ...` */
static void add_judged(struct bt_buffer *out, const struct bt_set_result *r,
                       enum bt_verdict verdict, enum bt_system system)
{
    char text[BT_PRINT_ROOM];
    const char *between = "";

    for (size_t i = 0; i < r->njudgement; i++) {
        const struct bt_judgement *j = &r->judgement[i];

        if (j->verdict != verdict)
            continue;
        bt_buffer_text(out, between);
        bt_words_figure(out, j->figure, bt_set_figure(r, j->figure), system);
        bt_buffer_format(out, ", limit %s",
                         bt_print_length(text, j->limit, 0, system, BT_LENGTH_FEELER));
        between = "; ";
    }
}

static void add_place_of(struct bt_buffer *out, const struct bt_set_result *r,
                         const struct bt_suspect *suspect)
{
    const struct bt_source *source = bt_set_reading_source(r, suspect->obs);

    bt_buffer_name(out, r->set->file[source->file]);
    bt_buffer_format(out, ":%zu", source->line);
}

/* The next action where something is in the way of the plain one; false where
 * nothing is. */
static bool add_obstacle(struct bt_buffer *out, const struct bt_set_result *r)
{
    if (r->flatness.nsuspect) {
        bt_buffer_text(out, "check the reading at ");
        add_place_of(out, r, &r->flatness.suspect[0]);
        bt_buffer_text(out, ", which does not fit the others");
        return true;
    }
    if (r->set->clamps == 1) {
        bt_buffer_text(out, "take the clamps off and read again");
        return true;
    }
    return false;
}

static void add_over(struct bt_buffer *out, const struct bt_set_result *r,
                     const struct bt_text_options *options)
{
    bt_text_paint(out, options, BT_OVER, "Over the limit");
    bt_buffer_text(out, ": ");
    add_judged(out, r, BT_OVER, options->system);
    bt_buffer_text(out, ". Next: ");
    if (!add_obstacle(out, r)) {
        add_take_down(out, r, worst(r, BT_OVER), options->system);
        bt_buffer_text(out, ", then read again");
    }
}

static void add_not_seen(struct bt_buffer *out, const struct bt_set_result *r,
                         const struct bt_text_options *options)
{
    const char *between = "";

    bt_text_paint(out, options, BT_NOT_SEEN, "Not seen");
    bt_buffer_text(out, ": ");
    for (size_t i = 0; i < r->njudgement; i++) {
        if (r->judgement[i].verdict != BT_NOT_SEEN)
            continue;
        bt_buffer_text(out, between);
        bt_buffer_text(out, bt_figure_name(r->judgement[i].figure));
        between = ", ";
    }
    bt_buffer_text(out, " cannot be told from these readings. Next: ");
    add_read_for(out, r, worst(r, BT_NOT_SEEN)->figure, options->system);
}

static void add_too_close(struct bt_buffer *out, const struct bt_set_result *r,
                          const struct bt_text_options *options)
{
    bt_text_paint(out, options, BT_TOO_CLOSE, "Too close to call");
    bt_buffer_text(out, ": ");
    add_judged(out, r, BT_TOO_CLOSE, options->system);
    bt_buffer_text(out, ". Next: ");
    if (!add_obstacle(out, r))
        add_read_finer(out, r, worst(r, BT_TOO_CLOSE)->figure);
}

static void add_within(struct bt_buffer *out, const struct bt_set_result *r,
                       const struct bt_text_options *options)
{
    bt_text_paint(out, options, BT_WITHIN, "Within every limit");
    bt_buffer_text(out, ": ");
    add_judged(out, r, BT_WITHIN, options->system);
    bt_buffer_text(out, ". Next: ");
    if (!add_obstacle(out, r))
        bt_buffer_text(out, "nothing to do, the panel is flat enough as it is");
}

static void add_no_limit(struct bt_buffer *out, const struct bt_set_result *r,
                         const struct bt_text_options *options)
{
    bt_buffer_text(out, "No limit is stated, so nothing is judged: ");
    for (int i = 0; i < BT_FIGURE_RANGE; i++) {
        bt_buffer_text(out, i ? "; " : "");
        bt_words_figure(out, (enum bt_figure)i, bt_set_figure(r, (enum bt_figure)i),
                        options->system);
    }
    bt_buffer_text(out, ". Next: ");
    if (add_obstacle(out, r))
        return;
    bt_buffer_text(
        out, r->set->line ? "state limits in job.ini, such as [limits] use = table top"
                          : "compare with what the piece needs; a job folder "
                            "(benchtrue new DIR) holds limits");
}

void bt_text_verdict(struct bt_buffer *out, const struct bt_set_result *r,
                     const struct bt_text_options *options)
{
    if (r->njudgement == 0) {
        add_no_limit(out, r, options);
    } else {
        switch (bt_set_verdict(r)) {
        case BT_OVER:
            add_over(out, r, options);
            break;
        case BT_NOT_SEEN:
            add_not_seen(out, r, options);
            break;
        case BT_TOO_CLOSE:
            add_too_close(out, r, options);
            break;
        case BT_WITHIN:
            add_within(out, r, options);
            break;
        }
    }
    bt_buffer_text(out, ".\n");
}

static void advise_unseen(struct bt_buffer *out, const struct bt_set_result *r,
                          enum bt_system system)
{
    const struct bt_point *p = r->flatness.used->point;

    for (size_t i = 0; i < r->flatness.nunseen; i++) {
        const struct bt_unseen *unseen = &r->flatness.unseen[i];

        bt_buffer_text(out, "  - ");
        bt_words_unseen(out, unseen, p, system);
        bt_buffer_text(out, unseen->kind == BT_UNSEEN_POINTS && unseen->nmoving != 1
                                ? " are not seen: read "
                                : " is not seen: read ");
        bt_words_read_this(out, unseen, p, system);
        bt_buffer_text(out, ".\n");
    }
    for (int i = 0; i < BT_FIGURE_COUNT; i++) {
        enum bt_figure figure = (enum bt_figure)i;

        if (bt_set_figure(r, figure)->seen || hiding(r, figure))
            continue;
        bt_buffer_format(out, "  - %s is not seen: read %s.\n", bt_figure_name(figure),
                         bt_words_read_for(figure));
    }
}

static void advise_judged(struct bt_buffer *out, const struct bt_set_result *r,
                          enum bt_system system)
{
    for (size_t i = 0; i < r->njudgement; i++) {
        const struct bt_judgement *j = &r->judgement[i];

        if (j->verdict != BT_TOO_CLOSE && j->verdict != BT_OVER)
            continue;
        bt_buffer_format(out, "  - %s is %s: ", bt_figure_name(j->figure),
                         j->verdict == BT_OVER ? "over its limit"
                                               : "too close to call");
        if (j->verdict == BT_OVER)
            add_take_down(out, r, j, system);
        else
            add_read_finer(out, r, j->figure);
        bt_buffer_text(out, ".\n");
    }
}

/* Equally suspect: only one of them need be wrong. */
static bool equally_suspect(const struct bt_flatness *flatness, size_t i)
{
    double score = fabs(flatness->suspect[i].score);

    for (size_t k = 0; k < flatness->nsuspect; k++)
        if (k != i && fabs(fabs(flatness->suspect[k].score) - score) <= 1e-6 * score)
            return true;
    return false;
}

static void advise_suspect(struct bt_buffer *out, const struct bt_set_result *r,
                           size_t i, enum bt_system system)
{
    const struct bt_suspect *suspect = &r->flatness.suspect[i];
    const struct bt_obs *obs = &r->flatness.used->obs[suspect->obs];
    bool slope = obs->kind == BT_READ_SLOPE;
    double unit = slope ? 1000 : 1;
    char text[BT_PRINT_ROOM];

    bt_buffer_text(out, "  - ");
    add_place_of(out, r, suspect);
    bt_print_length(text, fabs(suspect->residual) * unit, obs->u * unit,
                    slope ? BT_SYSTEM_MM : system, BT_LENGTH_FEELER);
    bt_buffer_format(
        out, " is suspect: it reads %s%s %s than the others lead to expect", text,
        slope ? " per m" : "", suspect->residual > 0 ? "more" : "less");
    if (equally_suspect(&r->flatness, i))
        bt_buffer_text(out, " (others here are as suspect; one of them may be right)");
    bt_buffer_text(out, ". Read it again, or see what it changes: --without ");
    add_place_of(out, r, suspect);
    bt_buffer_text(out, "\n");
}

static void advise_wood(struct bt_buffer *out, const struct bt_set_result *r)
{
    if (bt_set_verdict(r) != BT_OVER)
        return;
    bt_buffer_text(
        out,
        "  - Before you plane: a panel fresh from the glue still moves. Stand it with "
        "air "
        "on both faces and read again a day later (common practice); plane when two "
        "readings agree and the thickness left will do.\n"
        "  - Hand tool or machine: its manual and its guards come first.\n");
}

static bool same_file(const struct bt_set *set, size_t a, size_t b)
{
    return set->source[a].file == set->source[b].file;
}

/* Runs of lines, as `a.csv:77 to 79, b.csv:12`. */
static void add_runs(struct bt_buffer *out, const struct bt_set *set, size_t n,
                     const size_t reading[])
{
    for (size_t i = 0, end; i < n; i = end) {
        const struct bt_source *from = &set->source[reading[i]];

        for (end = i + 1; end < n; end++)
            if (!same_file(set, reading[i], reading[end]) ||
                set->source[reading[end]].line > set->source[reading[end - 1]].line + 1)
                break;
        bt_buffer_text(out, i ? ", " : "");
        bt_buffer_name(out, set->file[from->file]);
        bt_buffer_format(out, ":%zu", from->line);
        if (end > i + 1)
            bt_buffer_format(out, " to %zu", set->source[reading[end - 1]].line);
    }
}

static void advise_loose(struct bt_buffer *out, const struct bt_set_result *r)
{
    const struct bt_flatness *f = &r->flatness;

    if (!f->nloose)
        return;
    bt_buffer_text(out, "  - ");
    add_runs(out, r->set, f->nloose, f->loose);
    bt_buffer_text(out,
                   f->form.twist_from_readings
                       ? ": these readings hang loose from the rest and count for the "
                         "twist alone. Take them at places that other lines read too.\n"
                       : ": these readings hang loose from the rest and say nothing of "
                         "the panel. A line has to pass over two places or more that "
                         "other lines read, a bar or level needs all of its places but "
                         "one read by others.\n");
}

void bt_text_advice(struct bt_buffer *out, const struct bt_set_result *r,
                    const struct bt_text_options *options)
{
    struct bt_buffer part = {0};

    for (size_t i = 0; i < r->flatness.nsuspect; i++)
        advise_suspect(&part, r, i, options->system);
    advise_loose(&part, r);
    if (r->set->clamps == 1)
        bt_buffer_text(&part,
                       "  - These readings were taken with the clamps on, which "
                       "pull a panel out of its own shape: read again without.\n");
    advise_unseen(&part, r, options->system);
    if (r->flatness.net->weak)
        bt_buffer_text(&part,
                       "  - The readings hold one shape only weakly, and its "
                       "figures carry few digits: read one more line that crosses "
                       "several others.\n");
    advise_judged(&part, r, options->system);
    advise_wood(&part, r);
    if (part.failed)
        out->failed = true;
    if (part.length) {
        bt_buffer_text(out, "\nWhat to do\n");
        bt_buffer_add(out, part.text, part.length);
    }
    bt_buffer_clear(&part);
}
