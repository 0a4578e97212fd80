/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rough stock, layout, the space it goes into, and movement. */
#include <math.h>

#include "benchtrue/report/movement_text.h"
#include "report/joint_words.h"
#include "report/report_stages.h"
#include "report/text_opening.h"
#include "report/words.h"

static const char *rule_words(struct report *r, double mm)
{
    struct bt_buffer out = {0};

    if (isnan(mm))
        return "";
    bt_words_rule(&out, mm, r->text.system);
    return kept_take(&r->build.kept, &out);
}

/* A change of width, as a rule shows it. */
static const char *change_words(struct report *r, double mm, double u)
{
    char text[BT_PRINT_ROOM];

    return kept_say(&r->build.kept, "%s",
                    bt_print_length(text, mm, u, r->text.system, BT_LENGTH_RULE));
}

static const char *length_words(struct report *r, double mm, double u)
{
    char text[BT_PRINT_ROOM];

    if (isnan(mm))
        return "not known";
    return kept_say(&r->build.kept, "%s",
                    bt_print_length(text, mm, u, r->text.system, BT_LENGTH_FEELER));
}

/* ---- stock ---- */

static enum bt_status draw_stock(const void *input, enum bt_figure_format format,
                                 struct bt_figure_bytes *out, struct bt_error *err)
{
    return bt_stock_draw(input, format, out, err);
}

static enum bt_status add_stock(struct report *r, struct bt_error *err)
{
    struct document_build *b = &r->build;
    struct bt_buffer out = {0};
    enum bt_status status;

    if (r->job->stock.n == 0)
        return BT_OK;
    status = bt_stock_answer_find(r->job, &r->stock, err);
    if (status != BT_OK)
        return report_missing(r, "The rough stock", status, err);
    document_heading(b, 2, "The rough stock");
    bt_text_stock(&r->stock, &r->text, &out);
    report_verdict(r, &out);
    document_table_begin(b, 4, 0);
    document_cell(b, "board");
    document_cell(b, "surfaced");
    document_cell(b, "finishes at, both faces");
    document_cell(b, "verdict");
    for (size_t i = 0; i < r->stock.stock.n; i++) {
        const struct bt_stock_board *board = &r->stock.stock.board[i];
        const struct bt_stock_piece *piece = &board->piece[board->planned];

        document_cell(b, r->job->stock.board[i].name);
        document_cell(b, bt_stock_way_name(board->planned));
        document_cell(b, length_words(r, piece->both, piece->u));
        document_cell(b, isnan(r->stock.wanted) ? ""
                                                : bt_verdict_text(r->stock.verdict[i]));
    }
    document_figure(b, "The rough boards, and what comes off them.", draw_stock,
                    &r->stock);
    return BT_OK;
}

/* ---- layout ---- */

static enum bt_status draw_layout(const void *input, enum bt_figure_format format,
                                  struct bt_figure_bytes *out, struct bt_error *err)
{
    return bt_layout_draw(input, format, out, err);
}

static void add_strips(struct report *r)
{
    const struct bt_laid *best = &r->layout.best;
    struct document_build *b = &r->build;

    document_table_begin(b, 2, 0);
    document_cell(b, "board, from the back");
    document_cell(b, "its strip");
    for (size_t i = 0; i < best->plan.n; i++) {
        document_cell(b, r->job->board[best->plan.board[i]].name);
        document_cell(b, rule_words(r, best->left[i + 1] - best->left[i]));
    }
    document_figure(b, "The blank with its boards, the finished piece on it.",
                    draw_layout, &r->layout);
}

/* Boards alone ask for no layout. */
static bool layout_is_asked(const struct bt_job *job)
{
    const struct bt_layout_setup *setup = &job->layout;

    return job->nboard > 0 && (!isnan(setup->width) || !isnan(setup->length) ||
                               setup->ncutout > 0 || setup->nclear > 0);
}

static enum bt_status add_layout(struct report *r, struct bt_error *err)
{
    struct document_build *b = &r->build;
    struct bt_buffer out = {0};
    enum bt_status status;

    if (!layout_is_asked(r->job))
        return BT_OK;
    status = bt_layout_report_find(
        r->job, r->opening.has_piece ? &r->opening.piece.outline : NULL, &r->layout,
        err);
    if (status != BT_OK)
        return report_missing(r, "Where the joints fall", status, err);
    document_heading(b, 2, "Where the joints fall");
    bt_text_layout(&r->layout, &r->text, &out);
    report_verdict(r, &out);
    if (r->layout.best.plan.found)
        add_strips(r);
    return BT_OK;
}

/* ---- the space it goes into ---- */

static enum bt_status draw_opening(const void *input, enum bt_figure_format format,
                                   struct bt_figure_bytes *out, struct bt_error *err)
{
    return bt_opening_draw(input, format, out, err);
}

static enum bt_status add_opening(struct report *r, struct bt_error *err)
{
    struct document_build *b = &r->build;
    struct bt_buffer out = {0};
    enum bt_status status;

    if (r->job->opening.nreading == 0)
        return BT_OK;
    status = bt_opening_answer_find(r->job, &r->opening, err);
    r->opening_missing = status != BT_OK;
    if (status != BT_OK)
        return report_missing(r, "The space that it goes into", status, err);
    document_heading(b, 2, "The space that it goes into");
    bt_text_opening(&r->opening, &r->text, &out);
    report_verdict(r, &out);
    if (!r->opening.has_piece)
        return BT_OK;
    document_list_begin(b, "Cuts, in this order:");
    for (int k = 0; k < 4; k++) {
        bt_say_cut(&out, &r->opening.piece, k, r->text.system);
        document_cell(b, kept_take(&b->kept, &out));
    }
    document_figure(b, "The opening as measured, and the piece in it.", draw_opening,
                    &r->opening);
    return BT_OK;
}

/* ---- movement ---- */

static enum bt_status draw_movement(const void *input, enum bt_figure_format format,
                                    struct bt_figure_bytes *out, struct bt_error *err)
{
    return bt_movement_draw(input, format, out, err);
}

static void add_fixings(struct report *r)
{
    struct document_build *b = &r->build;

    document_table_begin(b, 5, 0);
    document_cell(b, "fixing");
    document_cell(b, "at x, y");
    document_cell(b, "has to give");
    document_cell(b, "gives");
    document_cell(b, "verdict");
    for (size_t i = 0; i < r->movement.nfixing; i++) {
        const struct bt_movement_fixing *f = &r->movement.fixing[i];
        const struct bt_fixing *at = &r->job->fixing.fixing[i];

        document_cell(b, kept_say(&b->kept, "%s%s%s", bt_fixing_kind_name(at->kind),
                                  *at->name ? ", " : "", at->name));
        document_cell(b, kept_say(&b->kept, "%s, %s", rule_words(r, at->x),
                                  rule_words(r, at->y)));
        document_cell(b, length_words(r, f->way.need, f->way.u_need));
        document_cell(b, isinf(f->way.travel)
                             ? "as it likes"
                             : length_words(r, f->way.travel, 0.1 * f->way.travel));
        document_cell(b, bt_verdict_text(f->moves));
    }
    document_figure(b, "The fixings, and where each screw sits today.", draw_movement,
                    &r->movement);
}

static enum bt_status add_movement(struct report *r, struct bt_error *err)
{
    struct bt_movement_piece piece = {.opening = &r->job->opening.plan};
    struct document_build *b = &r->build;
    struct bt_buffer out = {0};
    enum bt_status status;

    if (isnan(r->job->climate.driest.moisture) && r->job->fixing.n == 0)
        return BT_OK;
    if (r->opening.has_piece)
        piece.fitted = &r->opening.piece;
    status = bt_movement_lay(r->job, &r->laid, &piece, err);
    if (status == BT_OK)
        status = bt_movement_answer_find(r->job, &piece, &r->movement, err);
    if (status != BT_OK)
        return report_missing(r, "Through the year", status, err);
    document_heading(b, 2, "Through the year");
    bt_text_movement(&r->movement, &r->text, &out);
    report_verdict(r, &out);
    document_text(
        b, kept_say(&b->kept,
                    "Its width goes from %s less than today at its driest to "
                    "%s more at its dampest.",
                    change_words(r, -r->movement.whole.dry, r->movement.whole.u_dry),
                    change_words(r, r->movement.whole.damp, r->movement.whole.u_damp)));
    if (r->movement.nfixing)
        add_fixings(r);
    return BT_OK;
}

enum bt_status report_stock(struct report *r, struct bt_error *err)
{
    return add_stock(r, err);
}

/* A piece whose opening is not known has no layout, nor fixings. */
enum bt_status report_fit(struct report *r, struct bt_error *err)
{
    enum bt_status status = add_opening(r, err);

    if (r->opening_missing)
        return status;
    if (status == BT_OK)
        status = add_layout(r, err);
    if (status == BT_OK)
        status = add_movement(r, err);
    return status;
}
