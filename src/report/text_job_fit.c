/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/text_job_fit.h"

#include <math.h>

#include "report/joint_words.h"
#include "report/words.h"

/* What stands in one line, with commas between; the label is written with the
 * first. */
struct line {
    struct bt_buffer *out;
    const char *label;
    enum bt_system system;
    size_t n;
};

static void begin(struct line *line)
{
    bt_buffer_text(line->out, line->n++ ? ", " : line->label);
}

static void end(const struct line *line)
{
    bt_buffer_text(line->out, line->n ? "\n" : "");
}

/* As it was typed, to the hundredth of a millimetre: an allowance may be less than a
 * rule shows. */
static void say_length(struct bt_buffer *out, double mm, enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    bt_buffer_text(out, bt_print_length(text, mm, 0, system, BT_LENGTH_RULE));
}

static void add_word(struct line *line, const char *key, const char *word)
{
    begin(line);
    bt_buffer_format(line->out, "%s %s", key, word);
}

static void add_length(struct line *line, const char *key, double mm)
{
    if (isnan(mm))
        return;
    begin(line);
    bt_buffer_format(line->out, "%s ", key);
    say_length(line->out, mm, line->system);
}

/* To a tenth: `8 %`, `12.5 %`. */
static void say_percent(struct bt_buffer *out, double percent)
{
    const long tenths = lround(percent * 10);

    bt_buffer_format(out, "%ld", tenths / 10);
    if (tenths % 10)
        bt_buffer_format(out, ".%ld", tenths % 10);
    bt_buffer_text(out, " %");
}

/* A row is called by its name, without one by its number in the file. */
struct rows {
    size_t n;
    const struct bt_job *job;
    const char *(*name)(const struct bt_job *job, size_t row);
    bool (*blank)(const struct bt_job *job, size_t row, int what);
};

enum { NAMED = 8 }; /* more rows than that are counted */

/* `cup not read of 2, 5`; nothing where no row lacks it. */
static void add_blank(struct line *line, const struct rows *rows, const char *words,
                      int what)
{
    size_t blank = 0, told = 0;

    for (size_t i = 0; i < rows->n; i++)
        blank += rows->blank(rows->job, i, what);
    if (blank == 0)
        return;
    bt_buffer_text(line->out, line->n++ ? "; " : line->label);
    bt_buffer_format(line->out, "%s %s", words, blank == rows->n ? "all" : "");
    for (size_t i = 0; blank < rows->n && told < NAMED && i < rows->n; i++) {
        const char *name = rows->name(rows->job, i);

        if (!rows->blank(rows->job, i, what))
            continue;
        bt_buffer_text(line->out, told++ ? ", " : "");
        if (*name)
            bt_buffer_name(line->out, name);
        else
            bt_buffer_format(line->out, "%zu", i + 1);
    }
    if (blank < rows->n && blank > told)
        bt_buffer_format(line->out, " and %zu more", blank - told);
}

#define NO_LABEL "           "

static struct line more_of(const struct line *line)
{
    return (struct line){line->out, NO_LABEL, line->system, 0};
}

/* `: 3 slot, 2 clip` from how many there are of each kind. */
static void add_kinds(struct bt_buffer *out, int nkind, const size_t count[],
                      const char *(*name)(int kind))
{
    const char *between = ": ";

    for (int k = 0; k < nkind; k++) {
        if (!count[k])
            continue;
        bt_buffer_format(out, "%s%zu %s", between, count[k], name(k));
        between = ", ";
    }
}

/* ---- [stock], stock.csv ---- */

static const char *board_name(const struct bt_job *job, size_t row)
{
    return job->stock.board[row].name;
}

static bool board_blank(const struct bt_job *job, size_t row, int what)
{
    return isnan(job->stock.board[row].size[what]);
}

/* Without the first three it is not seen what a board comes to; a crook that is not
 * read is taken as none. */
static void add_stock_blanks(struct line *line, const struct bt_job *job)
{
    const struct rows rows = {job->stock.n, job, board_name, board_blank};

    add_blank(line, &rows, "cup not read of", BT_STOCK_CUP);
    add_blank(line, &rows, "bow not read of", BT_STOCK_BOW);
    add_blank(line, &rows, "twist not read of", BT_STOCK_TWIST);
    add_blank(line, &rows, "crook not read of", BT_STOCK_CROOK);
    end(line);
}

void bt_text_job_stock(struct bt_buffer *out, const struct bt_job *job)
{
    const struct bt_stock_setup *stock = &job->stock;
    struct line line = {out, "Stock:     ", job->system, 0}, blanks = more_of(&line);
    const bool stated = !isnan(stock->thickness) || stock->allowance > 0 ||
                        !isnan(stock->jointer_width) || !isnan(stock->planer_width);

    if (stock->n == 0 && !stock->board && !stated)
        return;
    begin(&line);
    bt_words_count(out, stock->n, "rough board", "rough boards");
    add_length(&line, "to be",
               isnan(stock->thickness) ? job->panel.thickness : stock->thickness);
    if (stock->allowance > 0)
        add_length(&line, "each face less", stock->allowance);
    add_length(&line, "jointer", stock->jointer_width);
    add_length(&line, "planer", stock->planer_width);
    end(&line);
    add_stock_blanks(&blanks, job);
}

/* ---- [climate] ---- */

static void add_season(struct line *line, const char *name,
                       const struct bt_season *season)
{
    begin(line);
    bt_buffer_format(line->out, "%s ", name);
    if (isnan(season->moisture)) {
        bt_buffer_text(line->out, "not stated");
        return;
    }
    if (isnan(season->humidity)) {
        bt_buffer_text(line->out, "wood at ");
        say_percent(line->out, season->moisture);
        return;
    }
    say_percent(line->out, season->humidity);
    bt_buffer_text(line->out, " at ");
    bt_say_temperature(line->out, season->temperature, line->system);
    bt_buffer_text(line->out, " (wood comes to ");
    say_percent(line->out, season->moisture);
    bt_buffer_text(line->out, ")");
}

void bt_text_job_climate(struct bt_buffer *out, const struct bt_job *job)
{
    const struct bt_climate *climate = &job->climate;
    struct line line = {out, "Climate:   ", job->system, 0};

    if (isnan(climate->driest.moisture) && isnan(climate->dampest.moisture) &&
        isnan(climate->now.moisture))
        return;
    add_season(&line, "driest", &climate->driest);
    add_season(&line, "dampest", &climate->dampest);
    add_season(&line, "now", &climate->now);
    end(&line);
}

/* ---- [layout], cutouts.csv ---- */

static void add_rules(struct line *line, const struct bt_layout_setup *layout)
{
    static const char *const trims[] = {"any", "equal", "back", "front"};

    if (layout->order == BT_ORDER_LISTED)
        add_word(line, "order", "as listed");
    if (layout->trim != BT_TRIM_ANY)
        add_word(line, "trim", trims[layout->trim]);
    add_length(line, "narrowest strip", layout->narrowest);
    if (layout->centre != BT_CENTRE_ANY)
        add_word(line, "centre on a",
                 layout->centre == BT_CENTRE_BOARD ? "board" : "joint");
    if (layout->rings != BT_RINGS_ANY)
        add_word(line, "rings",
                 layout->rings == BT_RINGS_ALTERNATE ? "alternate" : "match");
    add_length(line, "jointing", layout->jointing);
    add_length(line, "widths to u", layout->width_u);
    add_length(line, "spare", layout->spare);
    add_length(line, "ends", layout->ends);
    if (!isnan(layout->turn)) {
        add_word(line, "turn", "");
        bt_say_angle(line->out, layout->turn, 0);
    }
    add_length(line, "beside a cut-out", layout->beside);
    add_length(line, "clearance", layout->clearance);
}

static void add_piece(struct line *line, const struct bt_layout_setup *layout)
{
    const bool has_length = !isnan(layout->length), has_width = !isnan(layout->width);

    if (!has_length && !has_width)
        return;
    begin(line);
    bt_buffer_text(line->out, "piece ");
    if (has_length) {
        say_length(line->out, layout->length, line->system);
        bt_buffer_text(line->out, has_width ? " long, " : " long");
    }
    if (has_width) {
        say_length(line->out, layout->width, line->system);
        bt_buffer_text(line->out, " wide");
    }
}

/* `no joint within 20 mm of y = 300 mm, 5 mm of y = 450 mm`. */
static void add_clears(struct line *line, const struct bt_layout_setup *layout)
{
    for (size_t i = 0; i < layout->nclear; i++) {
        begin(line);
        bt_buffer_text(line->out, i ? "" : "no joint within ");
        say_length(line->out, layout->clear[i].within, line->system);
        bt_buffer_text(line->out, " of y = ");
        say_length(line->out, layout->clear[i].y, line->system);
    }
    end(line);
}

static const char *cutout_name(const struct bt_job *job, size_t row)
{
    return job->layout.cutout[row].name;
}

static bool cutout_sharp(const struct bt_job *job, size_t row, int what)
{
    (void)what;
    return job->layout.cutout[row].shape != BT_CUT_CIRCLE &&
           isnan(job->layout.cutout[row].radius);
}

static const char *shape_name(int shape)
{
    return bt_cutout_shape_name((enum bt_cutout_shape)shape);
}

static void add_cutouts(struct line *line, const struct bt_job *job)
{
    const struct rows rows = {job->layout.ncutout, job, cutout_name, cutout_sharp};
    struct line blanks = more_of(line);
    size_t count[BT_CUT_SHAPES] = {0};

    if (rows.n == 0)
        return;
    for (size_t i = 0; i < rows.n; i++)
        count[job->layout.cutout[i].shape]++;
    begin(line);
    bt_buffer_format(line->out, "%zu", rows.n);
    add_kinds(line->out, BT_CUT_SHAPES, count, shape_name);
    end(line);
    add_blank(&blanks, &rows, "no radius at the corners of", 0);
    end(&blanks);
}

void bt_text_job_layout(struct bt_buffer *out, const struct bt_job *job)
{
    struct line line = {out, "Layout:    ", job->system, 0};
    struct line cutouts = {out, "Cut-outs:  ", job->system, 0};
    struct line clears;

    add_piece(&line, &job->layout);
    add_rules(&line, &job->layout);
    end(&line);
    clears = line.n ? more_of(&line) : line;
    add_clears(&clears, &job->layout);
    add_cutouts(&cutouts, job);
}

/* ---- [opening], opening.csv ---- */

static const char *reading_name(int kind)
{
    return bt_opening_kind_name((enum bt_opening_kind)kind);
}

static void add_plan(struct line *line, const struct bt_job *job)
{
    const struct bt_opening_plan *plan = &job->opening.plan;

    add_word(line, "front", plan->front_wall ? "a wall" : "open");
    add_word(line, "let in from", plan->from_above ? "above" : "the front");
    add_length(line, "joint", plan->joint);
    add_length(line, "back joint", plan->back_joint);
    if (!isnan(plan->sealant)) {
        add_word(line, "sealant", "");
        say_percent(line->out, plan->sealant);
    }
    add_length(line, "clearance", plan->clearance);
    add_length(line, "overhang", plan->overhang);
    add_length(line, "headroom", plan->headroom);
    add_length(line, "scribe", plan->scribe);
    add_length(line, "thickness", plan->thickness);
    if (plan->spacer >= 0) {
        add_word(line, "spacer", "");
        bt_buffer_name(line->out, job->feeler[plan->spacer].name);
    }
    end(line);
}

/* The section without a key is as good as none. */
static bool plan_stated(const struct bt_opening_plan *plan)
{
    return plan->front_wall || plan->from_above || !isnan(plan->joint) ||
           !isnan(plan->back_joint) || !isnan(plan->sealant) ||
           !isnan(plan->clearance) || !isnan(plan->overhang) ||
           !isnan(plan->headroom) || !isnan(plan->scribe) || !isnan(plan->thickness) ||
           plan->spacer >= 0;
}

void bt_text_job_opening(struct bt_buffer *out, const struct bt_job *job)
{
    const struct bt_opening_setup *opening = &job->opening;
    struct line line = {out, "Opening:   ", job->system, 0}, plan = more_of(&line);
    size_t count[BT_OPENING_KINDS] = {0};

    if (opening->nreading == 0 && opening->blank == 0 && !plan_stated(&opening->plan))
        return;
    for (size_t i = 0; i < opening->nreading; i++)
        count[opening->reading[i].kind]++;
    begin(&line);
    bt_words_count(out, opening->nreading, "reading", "readings");
    add_kinds(out, BT_OPENING_KINDS, count, reading_name);
    if (opening->blank)
        bt_buffer_format(out, "; %zu left blank", opening->blank);
    end(&line);
    add_plan(&plan, job);
}

/* ---- [fixing], fixings.csv ---- */

static const char *fixing_kind(int kind)
{
    return bt_fixing_kind_name((enum bt_fixing_kind)kind);
}

static const char *fixing_name(const struct bt_job *job, size_t row)
{
    return job->fixing.fixing[row].name;
}

enum fixing_cell { FIXING_SCREW, FIXING_SLOT, FIXING_TRAVEL, FIXING_THREAD };

/* What `movement` would need and does not find. */
static bool fixing_blank(const struct bt_job *job, size_t row, int what)
{
    const struct bt_fixing *f = &job->fixing.fixing[row];

    switch (what) {
    case FIXING_SCREW:
        return isnan(f->screw);
    case FIXING_SLOT:
        return f->kind == BT_FIXING_SLOT && isnan(f->slot);
    case FIXING_TRAVEL:
        if (f->kind == BT_FIXING_SLOT || f->kind == BT_FIXING_ROUND_HOLE)
            return false;
        return isnan(f->travel) &&
               (f->kind == BT_FIXING_BRACKET ? isnan(f->slot) && isnan(f->hole)
                                             : isnan(f->arm));
    default: /* without a load no thread has to hold */
        return !isnan(job->fixing.load) && isnan(f->thread);
    }
}

static void add_fixing_blanks(struct line *line, const struct bt_job *job)
{
    const struct rows rows = {job->fixing.n, job, fixing_name, fixing_blank};

    add_blank(line, &rows, "screw not stated of", FIXING_SCREW);
    add_blank(line, &rows, "slot not stated of", FIXING_SLOT);
    add_blank(line, &rows, "travel not known of", FIXING_TRAVEL);
    add_blank(line, &rows, "thread not stated of", FIXING_THREAD);
    end(line);
}

static void add_holding(struct line *line, const struct bt_job *job)
{
    static const char *const lines[] = {[BT_FIXED_BACK] = "back edge",
                                        [BT_FIXED_FRONT] = "front edge",
                                        [BT_FIXED_CENTRE] = "centre"};
    const struct bt_fixing_setup *setup = &job->fixing;

    if (setup->fixed == BT_FIXED_AT)
        add_length(line, "fixed at y =", setup->fixed_at);
    else if (setup->fixed != BT_FIXED_NOT_STATED)
        add_word(line, "fixed at the", lines[setup->fixed]);
    if (setup->ends != BT_ENDS_NONE)
        add_word(line, setup->ends == BT_ENDS_FRAME ? "frame" : "breadboard", "ends");
    add_length(line, "width of the ends", setup->ends_width);
    add_length(line, "play in the ends", setup->ends_play);
    if (!isnan(setup->load)) {
        add_word(line, "load", "");
        bt_say_force(line->out, setup->load, line->system);
    }
    end(line);
}

void bt_text_job_fixings(struct bt_buffer *out, const struct bt_job *job)
{
    const struct bt_fixing_setup *setup = &job->fixing;
    struct line line = {out, "Fixings:   ", job->system, 0}, holding, blanks;
    size_t count[BT_FIXING_KINDS] = {0};

    blanks = more_of(&line);
    for (size_t i = 0; i < setup->n; i++)
        count[setup->fixing[i].kind]++;
    if (setup->n || setup->fixing) {
        begin(&line);
        if (setup->n)
            bt_buffer_format(out, "%zu", setup->n);
        else
            bt_buffer_text(out, "none listed");
        add_kinds(out, BT_FIXING_KINDS, count, fixing_kind);
        end(&line);
    }
    holding = line.n ? more_of(&line) : line;
    add_holding(&holding, job);
    add_fixing_blanks(&blanks, job);
}
