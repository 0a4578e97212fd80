/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "report/text_parts.h"
#include "report/text_stock.h"
#include "report/words.h"

enum { NAME = 2, SIZE = 14, OFF = 34, ONE = 44, BOTH = 54, DOUBT = 64, P = 72 };
/* Boards of a list that are named in one sentence. */
enum { NAMED = 6 };

static void say_bare(struct bt_buffer *out, double mm, double u, enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    bt_buffer_text(out, bt_print_length_bare(text, mm, u, system, BT_LENGTH_RULE));
}

/* `board 3`, `boards 3, 5 and 6`: those of a verdict. */
static size_t say_boards(struct bt_buffer *out, const struct bt_stock_answer *a,
                         enum bt_verdict verdict)
{
    size_t n = 0, k = 0;

    for (size_t i = 0; i < a->stock.n; i++)
        n += a->verdict[i] == verdict;
    bt_buffer_text(out, n == 1 ? "board " : "boards ");
    for (size_t i = 0; i < a->stock.n; i++) {
        if (a->verdict[i] != verdict)
            continue;
        if (k == NAMED) {
            bt_buffer_format(out, " and %zu more", n - k);
            break;
        }
        if (k)
            bt_buffer_text(out, k + 1 == n ? " and " : ", ");
        bt_buffer_name(out, bt_stock_rough(a, i)->name);
        k++;
    }
    return n;
}

static size_t first_of(const struct bt_stock_answer *a, enum bt_verdict verdict)
{
    size_t i = 0;

    while (i < a->stock.n && a->verdict[i] != verdict)
        i++;
    return i;
}

/* ---- what would do ---- */

/* A length that is cut, rounded down so that it does. */
static void say_at_most(struct bt_buffer *out, double mm, enum bt_system system)
{
    const double step = system == BT_SYSTEM_IN ? 25.4 / 4 : 5;

    bt_say_thick(out, floor(mm / step) * step, 0, system);
}

static bool short_will_do(const struct bt_stock_answer *a, size_t i)
{
    const struct bt_stock_setup *s = &a->job->stock;
    const double longest = a->stock.board[i].longest;

    return longest >= s->jointer_least_length && longest >= s->planer_least_length;
}

/* Narrower than this is no strip to glue up again, mm (common practice, no source). */
#define NARROW 40.0

/* The widest strip that makes it of those that the board, or its strip, is ripped into:
 * half of it at most. */
static double strip_of(const struct bt_stock_answer *a, size_t i)
{
    const double widest = a->stock.board[i].narrowest;

    /* fmin would drop a NaN */
    return isnan(widest) ? widest
                         : fmin(widest, (bt_stock_planned(a, i)->width - a->kerf) / 2);
}

static void say_shorter(struct bt_buffer *out, const struct bt_stock_answer *a,
                        size_t i, enum bt_system system)
{
    const double longest = a->stock.board[i].longest;

    if (isnan(bt_stock_rough(a, i)->cut)) {
        bt_buffer_text(out, "cut it to pieces of ");
        say_at_most(out, longest, system);
        bt_buffer_text(out, " or less before it is surfaced");
    } else {
        bt_buffer_text(out, "use it for a piece of ");
        say_at_most(out, longest, system);
        bt_buffer_text(out, " or less");
    }
}

/* Part of a sentence: what to do with a board that does not make it. */
static void say_cure(struct bt_buffer *out, const struct bt_stock_answer *a, size_t i,
                     enum bt_system system)
{
    const bool cut = short_will_do(a, i), rip = strip_of(a, i) >= NARROW;

    if (a->stock.board[i].trouble & BT_STOCK_NO_STRIP) {
        bt_buffer_text(out, "straight it gives ");
        bt_say_thick(out, a->stock.board[i].straight,
                     bt_stock_rough(a, i)->u[BT_STOCK_CROOK], system);
        bt_buffer_text(out, " of width: cut it to length first, or rip it narrower");
        return;
    }
    if (!cut && !rip)
        bt_buffer_text(out, "take another, and keep it for where the wood may be "
                            "thinner");
    if (cut)
        say_shorter(out, a, i, system);
    if (rip) {
        bt_buffer_text(out, cut ? ", or rip it to strips of " : "rip it to strips of ");
        say_at_most(out, strip_of(a, i), system);
        bt_buffer_text(out, " or less first and glue them up again");
    }
}

/* ---- the first line ---- */

static void say_come_to(struct bt_buffer *out, const struct bt_stock_answer *a,
                        enum bt_system system)
{
    const struct bt_stock_common *common = &a->stock.common;

    bt_say_thick(out, common->thickness, common->u, system);
}

/* The first of the three that was not read. */
static const char *not_read(const struct bt_rough_board *board)
{
    return isnan(board->size[BT_STOCK_TWIST]) ? "twist"
           : isnan(board->size[BT_STOCK_BOW]) ? "bow"
                                              : "cup";
}

static void say_open(struct bt_buffer *out, const struct bt_stock_answer *a,
                     enum bt_verdict verdict, const struct bt_text_options *options)
{
    const size_t first = first_of(a, verdict);

    bt_text_paint(out, options, verdict,
                  verdict == BT_NOT_SEEN ? "Not seen" : "Too close to call");
    bt_buffer_text(out, ": whether ");
    bt_buffer_text(out, say_boards(out, a, verdict) == 1 ? " makes " : " make ");
    bt_say_thick(out, a->wanted, 0, options->system);
    if (verdict == BT_NOT_SEEN) {
        bt_buffer_format(out, ". Next: read the %s of board ",
                         not_read(bt_stock_rough(a, first)));
        bt_buffer_name(out, bt_stock_rough(a, first)->name);
        bt_buffer_text(out, " and type it in stock.csv, 0 where there is none");
        return;
    }
    bt_buffer_text(out, ". Next: read thickness and warp of board ");
    bt_buffer_name(out, bt_stock_rough(a, first)->name);
    bt_buffer_text(out, " finer (u ");
    bt_say_thick(out, bt_stock_planned(a, first)->u, bt_stock_planned(a, first)->u,
                 options->system);
    bt_buffer_text(out, "), or ");
    say_cure(out, a, first, options->system);
}

static void say_verdict(struct bt_buffer *out, const struct bt_stock_answer *a,
                        const struct bt_text_options *options)
{
    const enum bt_verdict verdict = bt_stock_answer_verdict(a);
    const enum bt_system system = options->system;
    const size_t first = first_of(a, BT_OVER);

    if (isnan(a->wanted)) {
        bt_buffer_text(out, "The boards come to ");
        say_come_to(out, a, system);
        bt_buffer_text(out, " together. Next: write the thickness wanted in [stock] of "
                            "job.ini");
    } else if (verdict == BT_OVER) {
        bt_text_paint(out, options, BT_OVER, "Will not do");
        bt_buffer_text(out, ": ");
        bt_buffer_text(out, say_boards(out, a, BT_OVER) == 1 ? " does not make "
                                                             : " do not make ");
        bt_say_thick(out, a->wanted, 0, system);
        bt_buffer_text(out, ". Next: board ");
        bt_buffer_name(out, bt_stock_rough(a, first)->name);
        bt_buffer_text(out, ": ");
        say_cure(out, a, first, system);
    } else if (verdict == BT_WITHIN) {
        bt_text_paint(out, options, BT_WITHIN, "Enough");
        bt_buffer_text(out,
                       a->stock.n == 1 ? ": the board makes " : ": all boards make ");
        bt_say_thick(out, a->wanted, 0, system);
        bt_buffer_text(out, a->stock.n == 1 ? ", and comes to " : ", and come to ");
        say_come_to(out, a, system);
        bt_buffer_text(out, a->stock.n == 1 ? "" : " together");
        bt_buffer_text(out, ". Next: one face flat on the jointer, then the planer");
    } else {
        say_open(out, a, verdict, options);
    }
    bt_buffer_text(out, "\n");
}

/* ---- the boards ---- */

static void add_size(struct bt_buffer *out, const struct bt_stock_piece *piece,
                     enum bt_system system)
{
    say_bare(out, piece->length, 0, system);
    bt_buffer_text(out, " x ");
    say_bare(out, piece->width, 0, system);
}

static void add_row(struct bt_buffer *out, const struct bt_stock_answer *a, size_t i,
                    const struct bt_text_options *options)
{
    const struct bt_stock_piece *piece = bt_stock_planned(a, i);
    const enum bt_system system = options->system;
    const bool seen = a->stock.board[i].seen;
    char text[BT_PRINT_ROOM];

    bt_buffer_column(out, NAME);
    bt_buffer_name(out, bt_stock_rough(a, i)->name);
    bt_buffer_text(out, " ");
    bt_buffer_column(out, SIZE);
    add_size(out, piece, system);
    bt_buffer_column(out, OFF);
    bt_buffer_text(out, seen ? "" : "> ");
    say_bare(out, piece->off, piece->u_off, system);
    bt_buffer_column(out, ONE);
    bt_buffer_text(out, seen ? "" : "< ");
    say_bare(out, piece->one, piece->u, system);
    bt_buffer_column(out, BOTH);
    bt_buffer_text(out, seen ? "" : "< ");
    say_bare(out, piece->both, piece->u, system);
    bt_buffer_column(out, DOUBT);
    say_bare(out, piece->u, piece->u, system);
    if (!isnan(a->wanted)) {
        bt_buffer_column(out, P);
        bt_buffer_text(out, bt_print_share(text, piece->p));
        bt_buffer_text(out, ", ");
        bt_text_paint(out, options, a->verdict[i], bt_verdict_text(a->verdict[i]));
    }
    bt_buffer_text(out, "\n");
}

static void add_table(struct bt_buffer *out, const struct bt_stock_answer *a,
                      const struct bt_text_options *options)
{
    bt_buffer_format(out, "\nBoards as they are surfaced, %s\n  board",
                     bt_length_unit_name(options->system, BT_LENGTH_RULE));
    bt_buffer_column(out, SIZE);
    bt_buffer_text(out, "size");
    bt_buffer_column(out, OFF);
    bt_buffer_text(out, "off");
    bt_buffer_column(out, ONE);
    bt_buffer_text(out, "one face");
    bt_buffer_column(out, BOTH);
    bt_buffer_text(out, "both");
    bt_buffer_column(out, DOUBT);
    bt_buffer_text(out, "u");
    if (!isnan(a->wanted)) {
        bt_buffer_column(out, P);
        bt_buffer_text(out, "makes ");
        say_bare(out, a->wanted, 0, options->system);
    }
    bt_buffer_text(out, "\n");
    for (size_t i = 0; i < a->stock.n; i++)
        add_row(out, a, i, options);
    bt_buffer_text(out, "  off: from the highest place of a face to make it flat; one "
                        "face: what is then left at the\n  thinnest place, the other "
                        "face as sawn; both: parallel and clean everywhere");
    if (a->job->stock.allowance > 0) {
        bt_buffer_text(out, ", with ");
        bt_say_thick(out, a->job->stock.allowance, 0, options->system);
        bt_buffer_text(out, " more off each face");
    }
    bt_buffer_text(out, ".\n");
}

/* ---- cut or rip first ---- */

static void add_way(struct bt_buffer *out, const struct bt_stock_board *board,
                    enum bt_stock_way way, enum bt_system system)
{
    const struct bt_stock_piece *piece = &board->piece[way];
    const double more = piece->both - board->piece[BT_STOCK_WHOLE].both;

    bt_buffer_format(out, "; %s ", bt_stock_way_name(way));
    say_bare(out, piece->both, piece->u, system);
    bt_buffer_text(out, " (+");
    say_bare(out, more, piece->u, system);
    bt_buffer_text(out, ")");
}

static void add_ways(struct bt_buffer *out, const struct bt_stock_answer *a,
                     enum bt_system system)
{
    bool any = false;

    for (size_t i = 0; i < a->stock.n; i++) {
        const struct bt_stock_board *board = &a->stock.board[i];
        const struct bt_stock_piece *whole = &board->piece[BT_STOCK_WHOLE];

        if (board->planned == BT_STOCK_WHOLE)
            continue;
        if (!any)
            bt_buffer_format(out,
                             "\nWhat cutting or ripping first saves, both faces, "
                             "%s\n",
                             bt_length_unit_name(system, BT_LENGTH_RULE));
        any = true;
        bt_buffer_column(out, NAME);
        bt_buffer_name(out, bt_stock_rough(a, i)->name);
        bt_buffer_text(out, " ");
        bt_buffer_column(out, SIZE);
        bt_buffer_text(out, "whole ");
        say_bare(out, whole->both, whole->u, system);
        for (int way = BT_STOCK_CUT; way < BT_STOCK_WAYS; way++)
            if (board->piece[way].there)
                add_way(out, board, (enum bt_stock_way)way, system);
        if (board->planned == BT_STOCK_CUT_RIPPED)
            bt_buffer_format(out, "; %s saves more",
                             board->first == BT_STOCK_CUT ? "cutting" : "ripping");
        if (bt_stock_planned(a, i)->together > 1)
            bt_buffer_format(out, "; %zu pieces in one length until surfaced",
                             bt_stock_planned(a, i)->together);
        bt_buffer_text(out, "\n");
    }
}

/* ---- boards that do not ---- */

static void add_reason(struct bt_buffer *out, const struct bt_stock_answer *a, size_t i,
                       enum bt_system system)
{
    const struct bt_rough_board *board = bt_stock_rough(a, i);
    const struct bt_stock_piece *piece = bt_stock_planned(a, i);
    const double along = piece->length / board->length,
                 across = piece->width / board->width;
    const struct {
        enum bt_stock_reading reading;
        double share;
    } warps[] = {{BT_STOCK_BOW, along * along},
                 {BT_STOCK_CUP, across * across},
                 {BT_STOCK_TWIST, along * across}};
    const char *between = "";

    bt_buffer_text(out, "  board ");
    bt_buffer_name(out, board->name);
    bt_buffer_text(out, ": ");
    for (size_t k = 0; k < sizeof warps / sizeof *warps; k++) {
        const double size = board->size[warps[k].reading] * warps[k].share;

        if (!(size > 0))
            continue;
        bt_buffer_format(out, "%s%s ", between,
                         bt_stock_reading_name(warps[k].reading));
        bt_say_thick(out, size, board->u[warps[k].reading], system);
        between = ", ";
    }
    bt_buffer_text(out, *between ? " of a board that is " : "too thin, ");
    bt_say_thick(out, board->size[BT_STOCK_THICKNESS], board->u[BT_STOCK_THICKNESS],
                 system);
    bt_buffer_text(out, *between ? " thick; " : "; ");
    say_cure(out, a, i, system);
    bt_buffer_text(out, ".\n");
}

static void add_failing(struct bt_buffer *out, const struct bt_stock_answer *a,
                        enum bt_system system)
{
    bool any = false;

    for (size_t i = 0; i < a->stock.n; i++) {
        if (isnan(a->wanted) ||
            (a->verdict[i] != BT_OVER && a->verdict[i] != BT_TOO_CLOSE))
            continue;
        if (!any)
            bt_buffer_text(out, "\nWhy, and what would do\n");
        any = true;
        add_reason(out, a, i, system);
    }
}

/* ---- the panel ---- */

static void add_gain(struct bt_buffer *out, const struct bt_stock_answer *a,
                     const char *what, double thickness, enum bt_system system)
{
    const struct bt_stock_common *common = &a->stock.common;

    if (!(thickness > common->thickness))
        return;
    bt_stock_name(out, what);
    bt_say_thick(out, thickness, common->u, system);
    bt_buffer_text(out, " (+");
    bt_say_thick(out, thickness - common->thickness, common->u, system);
    bt_buffer_text(out, ")\n");
}

static void add_common(struct bt_buffer *out, const struct bt_stock_answer *a,
                       enum bt_system system)
{
    const struct bt_stock_common *common = &a->stock.common;
    char text[BT_PRINT_ROOM];

    bt_buffer_text(out, "\nAll to one thickness\n");
    bt_stock_name(out, "thickest for all");
    say_come_to(out, a, system);
    bt_buffer_text(out, ", board ");
    bt_buffer_name(out, bt_stock_rough(a, common->limiting)->name);
    bt_buffer_text(out, " limits it\n");
    bt_stock_name(out, "sure for all");
    bt_say_thick(out, common->sure, common->u, system);
    bt_buffer_text(out, " at ");
    bt_words_confidence(out, a->job->limits.confidence);
    bt_buffer_text(out, " confidence\n");
    if (!isnan(common->p) && a->stock.n > 1) {
        bt_stock_name(out, "all make what is wanted");
        bt_buffer_format(out, "%s\n", bt_print_share(text, common->p));
    }
    add_gain(out, a, "without that board", common->without, system);
    add_gain(out, a, "with it cut in two", common->shorter, system);
    add_gain(out, a, "with it ripped in two", common->narrower, system);
}

enum bt_status bt_text_stock(const struct bt_stock_answer *answer,
                             const struct bt_text_options *options,
                             struct bt_buffer *out)
{
    const enum bt_system system = options->system;
    const char *title = answer->job->title;

    say_verdict(out, answer, options);
    if (title && *title) {
        bt_buffer_name(out, title);
        bt_buffer_text(out, "\n");
    }
    add_table(out, answer, options);
    add_ways(out, answer, system);
    add_failing(out, answer, system);
    add_common(out, answer, system);
    bt_text_stock_quarters(out, answer, system);
    bt_text_stock_moisture(out, answer, system);
    bt_text_stock_trouble(out, answer);
    if (options->details)
        bt_text_stock_details(out, answer, system);
    bt_text_stock_cautions(out, answer);
    return bt_buffer_status(out);
}
