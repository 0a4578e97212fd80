/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/text_parts.h"

#include <math.h>
#include <string.h>

#include "benchtrue/base/day.h"
#include "benchtrue/wood/drying.h"
#include "report/joint_words.h"
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
        bt_words_figure(out, r, j->figure, system);
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

enum { BLANKS_SHOWN = 8 };

static void add_blank(struct bt_buffer *out, const struct bt_set *set, size_t i)
{
    const struct bt_blank *b = &set->blanks[i];

    bt_buffer_name(out, b->line);
    bt_buffer_text(out, *b->line ? " at " : "");
    bt_buffer_name(out, b->place);
    bt_buffer_text(out, " (");
    bt_buffer_name(out, set->file[b->source.file]);
    bt_buffer_format(out, ":%zu)", b->source.line);
}

/* Readings that say nothing for want of another; sticks may stand alone. */
static size_t unused(const struct bt_set_result *r)
{
    size_t n = r->set->dropped;

    for (size_t i = 0; i < r->flatness.nloose; i++)
        n += r->set->readings.obs[r->flatness.loose[i]].kind != BT_READ_WIND;
    return n;
}

/* The first end of a line that was begun where a 0 may have been forgotten; nblanks
 * where there is none. */
static size_t first_untouched(const struct bt_set *set)
{
    size_t b = 0;

    while (b < set->nblanks && !set->blanks[b].untouched)
        b++;
    return b;
}

/* `corner A (readings.csv:26)` */
static void add_end(struct bt_buffer *out, const struct bt_set *set,
                    const struct bt_blank *b)
{
    if (b->corner)
        bt_buffer_format(out, "corner %c", b->corner);
    else
        bt_buffer_name(out, b->place);
    bt_buffer_text(out, " (");
    bt_buffer_name(out, set->file[b->source.file]);
    bt_buffer_format(out, ":%zu)", b->source.line);
}

static bool same_line(const struct bt_blank *a, const struct bt_blank *b)
{
    return a->source.file == b->source.file && strcmp(a->line, b->line) == 0;
}

/* `diagonal A-C has no 0 at corner A (readings.csv:26) or corner C (readings.csv:30):
 * if the edge touched there, write 0`: the ends of one line. */
static void add_untouched(struct bt_buffer *out, const struct bt_set *set, size_t first)
{
    const struct bt_blank *of = &set->blanks[first];

    bt_buffer_name(out, *of->line ? of->line : "the line");
    bt_buffer_text(out, " has no 0 at ");
    add_end(out, set, of);
    for (size_t b = first + 1; b < set->nblanks; b++)
        if (set->blanks[b].untouched && same_line(of, &set->blanks[b])) {
            bt_buffer_text(out, " or ");
            add_end(out, set, &set->blanks[b]);
        }
    bt_buffer_text(out, ": if the edge touched there, write 0");
}

static bool is_used(const struct bt_flatness *f, const struct bt_point *p)
{
    for (size_t i = 0; i < f->used->npoint; i++)
        if (f->used->point[i].x == p->x && f->used->point[i].y == p->y)
            return true;
    return false;
}

/*
 * The place that would tie the one line that hangs loose: its outermost that nothing
 * else reads, where it crosses the others already.  NULL where one place is not enough,
 * or a 0 that is missing comes first.
 */
static const struct bt_point *tie_of(const struct bt_set_result *r)
{
    const struct bt_flatness *f = &r->flatness;
    const struct bt_obs *end = NULL;
    int group = BT_NO_GROUP;
    bool crosses = false;

    for (size_t i = 0; i < f->nloose; i++) {
        const struct bt_obs *o = &f->all->obs[f->loose[i]];

        if (o->kind != BT_READ_GAP || (group != BT_NO_GROUP && o->group != group))
            return NULL;
        group = o->group;
        if (is_used(f, &f->all->point[o->point[0]]))
            crosses = true;
        else if (!end || fabs(o->edge) > fabs(end->edge))
            end = o;
    }
    return crosses && end && first_untouched(r->set) == r->set->nblanks
               ? &f->all->point[end->point[0]]
               : NULL;
}

/* `: read another line over x 0 in, y 7 7/8 in, and they count` */
static bool add_tie(struct bt_buffer *out, const struct bt_set_result *r,
                    enum bt_system system)
{
    const struct bt_point *tie = tie_of(r);

    if (!tie)
        return false;
    bt_buffer_text(out, ": read another line over ");
    bt_words_place(out, tie, system);
    bt_buffer_text(out, ", and they count");
    return true;
}

/* The next action where something is in the way of the plain one; false where
 * nothing is. */
static bool add_obstacle(struct bt_buffer *out, const struct bt_set_result *r,
                         enum bt_system system)
{
    if (r->flatness.nsuspect) {
        bt_buffer_text(out, "check the reading at ");
        add_place_of(out, r, &r->flatness.suspect[0]);
        bt_buffer_text(out, ", which does not fit the others");
        return true;
    }
    if (unused(r)) {
        bt_words_count(out, unused(r), "reading is", "readings are");
        bt_buffer_text(out, unused(r) == 1
                                ? " not used, because its line does not hang "
                                  "together with the others"
                                : " not used, because their lines do not hang "
                                  "together with the others");
        if (first_untouched(r->set) < r->set->nblanks) {
            bt_buffer_text(out, "; ");
            add_untouched(out, r->set, first_untouched(r->set));
        } else if (!add_tie(out, r, system)) {
            bt_buffer_text(out, "; see below");
        }
        return true;
    }
    if (r->set->clamps == 1) {
        bt_buffer_text(out, "take the clamps off and read again");
        return true;
    }
    return false;
}

/* Whether it still moves one set does not tell: no wood comes off before. */
static void add_wait(struct bt_buffer *out, const struct bt_set_result *r)
{
    bt_buffer_text(out, "wait until it rests");
    if (r->job->folder && *r->job->folder)
        bt_buffer_text(out, " (benchtrue decide says how long)");
    bt_buffer_text(out, ", then ");
}

static void add_over(struct bt_buffer *out, const struct bt_set_result *r,
                     const struct bt_text_options *options)
{
    bt_text_paint(out, options, BT_OVER, "Over the limit");
    bt_buffer_text(out, ": ");
    add_judged(out, r, BT_OVER, options->system);
    bt_buffer_text(out, ". Next: ");
    if (!add_obstacle(out, r, options->system)) {
        add_wait(out, r);
        bt_text_take_down(out, r, worst(r, BT_OVER), options->system);
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
    if (first_untouched(r->set) < r->set->nblanks)
        add_untouched(out, r->set, first_untouched(r->set));
    else
        bt_text_read_for(out, r, worst(r, BT_NOT_SEEN)->figure, options->system);
}

static void add_too_close(struct bt_buffer *out, const struct bt_set_result *r,
                          const struct bt_text_options *options)
{
    bt_text_paint(out, options, BT_TOO_CLOSE, "Too close to call");
    bt_buffer_text(out, ": ");
    add_judged(out, r, BT_TOO_CLOSE, options->system);
    bt_buffer_text(out, ". Next: ");
    if (!add_obstacle(out, r, options->system))
        bt_text_read_finer(out, r, worst(r, BT_TOO_CLOSE)->figure, options->system);
}

/* Readings that could hide a slip; a scan has too many places to be asked for more. */
static bool unchecked(const struct bt_set_result *r)
{
    return r->flatness.net->dof == 0 && !r->flatness.used->scan;
}

/*
 * Cup and bow are those of the panel as a whole; one end may be hollow by more than
 * their limits.  Only where no limit for `local` says what matters.
 */
static bool add_hidden_gap(struct bt_buffer *out, const struct bt_set_result *r,
                           enum bt_system system)
{
    static const enum bt_figure figure[] = {
        [BT_EDGE_ALONG] = BT_FIGURE_BOW, [BT_EDGE_ACROSS] = BT_FIGURE_CUP};
    char gap[BT_PRINT_ROOM];

    if (bt_set_judgement(r, BT_FIGURE_LOCAL))
        return false;
    for (size_t i = 0; i < r->extremes.nedge; i++) {
        const struct bt_edge_figure *e = &r->extremes.edge[i];
        const struct bt_judgement *j;

        if (e->at.direction > BT_EDGE_ACROSS || !e->gap.seen)
            continue;
        j = bt_set_judgement(r, figure[e->at.direction]);
        if (!j || !(e->gap.value > j->limit))
            continue;
        bt_buffer_format(
            out, "look at the gap of %s %s at ",
            bt_print_length(gap, e->gap.value, e->gap.u, system, BT_LENGTH_FEELER),
            bt_edge_direction_name(e->at.direction));
        bt_words_place(out, &r->flatness.used->point[e->at.worst.deepest], system);
        bt_buffer_format(
            out,
            ": it is more than the limit for %s, which holds for the panel "
            "as a whole",
            bt_figure_name(j->figure));
        return true;
    }
    return false;
}

static void add_within(struct bt_buffer *out, const struct bt_set_result *r,
                       const struct bt_text_options *options)
{
    bt_text_paint(out, options, BT_WITHIN, "Within every limit");
    bt_buffer_text(out, ": ");
    add_judged(out, r, BT_WITHIN, options->system);
    bt_buffer_text(out, ". Next: ");
    if (add_obstacle(out, r, options->system) ||
        add_hidden_gap(out, r, options->system))
        return;
    if (unchecked(r))
        bt_buffer_format(out,
                         "if no reading is wrong, nothing to do; to be sure, read %s, "
                         "for none of these readings checks another",
                         r->set->kinds[BT_READ_GAP] ? "one more line across the others"
                                                    : "a few places again");
    else
        bt_buffer_text(out, "nothing to do, the panel is flat enough as it is");
}

/* What is within its limits, but from readings that contradict each other. */
static void add_distrusted(struct bt_buffer *out, const struct bt_set_result *r,
                           const struct bt_text_options *options)
{
    bt_text_paint(out, options, BT_TOO_CLOSE, "Cannot be trusted yet");
    bt_buffer_text(out, ": the readings disagree by far more than their uncertainty "
                        "says; as they stand, ");
    add_judged(out, r, BT_WITHIN, options->system);
    bt_buffer_text(out, ". Next: ");
    if (!add_obstacle(out, r, options->system))
        bt_buffer_text(out, "look for a slip, a bent edge, or a panel that moved "
                            "meanwhile, and read again");
}

static void add_no_limit(struct bt_buffer *out, const struct bt_set_result *r,
                         const struct bt_text_options *options)
{
    bt_buffer_text(out, "No limit is stated, so nothing is judged: ");
    for (int i = 0; i < BT_FIGURE_RANGE; i++) {
        bt_buffer_text(out, i ? "; " : "");
        bt_words_figure(out, r, (enum bt_figure)i, options->system);
    }
    bt_buffer_text(out, ". Next: ");
    if (add_obstacle(out, r, options->system))
        return;
    for (int i = 0; i < BT_FIGURE_RANGE; i++)
        if (!bt_set_figure(r, (enum bt_figure)i)->seen) {
            bt_text_read_for(out, r, (enum bt_figure)i, options->system);
            return;
        }
    bt_buffer_text(
        out, r->set->line
                 ? "state limits in job.ini, such as [limits] use = table top"
                 : "add the use it is judged for, such as --use 'table top'; a job "
                   "folder (benchtrue new DIR) holds limits of your own");
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
            if (worst(r, BT_TOO_CLOSE) == NULL)
                add_distrusted(out, r, options);
            else
                add_too_close(out, r, options);
            break;
        case BT_WITHIN:
            add_within(out, r, options);
            break;
        }
    }
    bt_text_own_weight(out, r, options->system);
    bt_buffer_text(out, ".\n");
}

static void advise_unseen(struct bt_buffer *out, const struct bt_set_result *r,
                          enum bt_system system)
{
    const struct bt_flatness *f = &r->flatness;

    for (size_t i = 0; i < f->nunseen; i++) {
        const struct bt_unseen *unseen = &f->unseen[i];

        bt_buffer_text(out, "  - ");
        bt_words_unseen(out, unseen, f, system);
        bt_buffer_text(out, unseen->kind == BT_UNSEEN_POINTS && unseen->nmoving != 1
                                ? " are not seen: read "
                                : " is not seen: read ");
        bt_words_read_this(out, unseen, f, system);
        bt_buffer_text(out, ".\n");
    }
    for (int i = 0; i < BT_FIGURE_COUNT; i++) {
        enum bt_figure figure = (enum bt_figure)i;

        if (bt_set_figure(r, figure)->seen || bt_text_hiding(r, figure))
            continue;
        /* what hides the zone hides the range; places near enough for a short
         * straightedge are asked for only by those who limit its gap */
        if (figure > BT_FIGURE_RANGE && !bt_set_judgement(r, figure))
            continue;
        bt_buffer_format(out, "  - %s is not seen: ", bt_figure_name(figure));
        bt_text_read_for(out, r, figure, system);
        bt_buffer_text(out, ".\n");
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
        if (j->verdict == BT_OVER) {
            bt_buffer_text(out, "once it rests, ");
            bt_text_take_down(out, r, j, system);
        } else {
            bt_text_read_finer(out, r, j->figure, system);
        }
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

/* The same wait as decide and trend name. */
static void advise_rest(struct bt_buffer *out, const struct bt_set_result *r,
                        enum bt_system system)
{
    const long rest = bt_drying_rest(r->job->panel.thickness);
    char date[BT_DATE_ROOM];
    long day;

    bt_buffer_text(out,
                   "  - Before you plane: a panel fresh from the glue still moves. "
                   "Stand it with air on both faces and read it again ");
    if (!rest) {
        bt_buffer_text(out, "after some days (common practice)");
    } else {
        if (bt_day_of_date(r->set->date, &day))
            bt_buffer_format(out, "on %s, ", bt_date_of_day(date, day + rest));
        bt_words_count(out, (size_t)rest, "day", "days");
        bt_buffer_text(out, " later, in which wood of ");
        bt_say_rule(out, r->job->panel.thickness, system);
        bt_buffer_text(out, " comes some two thirds of its way (from memory)");
    }
    bt_buffer_text(out, "; plane when readings of two days agree (benchtrue trend) and "
                        "the thickness left will do (benchtrue decide).\n");
}

static void advise_wood(struct bt_buffer *out, const struct bt_set_result *r,
                        enum bt_system system)
{
    if (bt_set_verdict(r) != BT_OVER)
        return;
    advise_rest(out, r, system);
    bt_buffer_text(out,
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

static void advise_dropped(struct bt_buffer *out, const struct bt_set *set)
{
    if (!set->dropped)
        return;
    bt_buffer_text(out, "  - ");
    bt_buffer_name(out, set->file[set->first_dropped.file]);
    bt_buffer_format(out,
                     ":%zu: left out%s, because its line or set-up was read at one "
                     "place only.\n",
                     set->first_dropped.line,
                     set->dropped > 1 ? ", and others like it" : "");
}

/* Where something is missing that a reading not taken could give. */
static bool wants_more(const struct bt_set_result *r)
{
    return r->flatness.nunseen || r->flatness.nloose || r->set->dropped;
}

/* A place left blank because the edge touched there is the usual slip. */
static void advise_untouched(struct bt_buffer *out, const struct bt_set_result *r)
{
    const struct bt_set *set = r->set;

    for (size_t b = 0; wants_more(r) && b < set->nblanks; b++) {
        bool told = false;

        for (size_t before = 0; before < b; before++)
            told = told || (set->blanks[before].untouched &&
                            same_line(&set->blanks[before], &set->blanks[b]));
        if (!set->blanks[b].untouched || told)
            continue;
        bt_buffer_text(out, "  - ");
        add_untouched(out, set, b);
        bt_buffer_text(out, ".\n");
    }
}

/* Of lines that were begun; those that were not are no slip. */
static void advise_blank(struct bt_buffer *out, const struct bt_set_result *r)
{
    const struct bt_set *set = r->set;
    size_t n = 0;

    for (size_t b = 0; wants_more(r) && b < set->nblanks; b++) {
        if (!set->blanks[b].begun || set->blanks[b].untouched || n++ >= BLANKS_SHOWN)
            continue;
        bt_buffer_text(out,
                       n == 1 ? "  - Left blank on lines that were begun: " : "; ");
        add_blank(out, set, b);
    }
    if (n > BLANKS_SHOWN)
        bt_buffer_format(out, "; and %zu more", n - BLANKS_SHOWN);
    bt_buffer_text(out, n ? ".\n" : "");
}

static void advise_loose(struct bt_buffer *out, const struct bt_set_result *r,
                         enum bt_system system)
{
    const struct bt_flatness *f = &r->flatness;

    if (!f->nloose)
        return;
    bt_buffer_text(out, "  - ");
    add_runs(out, r->set, f->nloose, f->loose);
    if (tie_of(r)) {
        bt_buffer_text(out,
                       ": these readings cross the others at one place only, and do "
                       "not count so far");
        add_tie(out, r, system);
        bt_buffer_text(out, ".\n");
        return;
    }
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
    bt_text_without(&part, r, options->system);
    advise_loose(&part, r, options->system);
    advise_dropped(&part, r->set);
    advise_untouched(&part, r);
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
    bt_text_joints_advice(&part, r);
    advise_wood(&part, r, options->system);
    advise_blank(&part, r);
    if (part.failed)
        out->failed = true;
    if (part.length) {
        bt_buffer_text(out, "\nWhat to do\n");
        bt_buffer_add(out, part.text, part.length);
    }
    bt_buffer_clear(&part);
}
