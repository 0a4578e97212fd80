/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Of the text of stock: what is beside the thicknesses. */
#include <math.h>

#include "benchtrue/joint/cautions.h"
#include "report/joint_words.h"
#include "report/text_stock.h"
#include "report/words.h"

enum { VALUE = 32 };

const struct bt_rough_board *bt_stock_rough(const struct bt_stock_answer *a, size_t i)
{
    return &a->job->stock.board[i];
}

const struct bt_stock_piece *bt_stock_planned(const struct bt_stock_answer *a, size_t i)
{
    return &a->stock.board[i].piece[a->stock.board[i].planned];
}

/* A thickness: on a rule, or a caliper, to the digits that u carries. */
void bt_say_thick(struct bt_buffer *out, double mm, double u, enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    bt_buffer_text(out, bt_print_length(text, mm, u, system, BT_LENGTH_RULE));
}

void bt_stock_name(struct bt_buffer *out, const char *name)
{
    bt_buffer_format(out, "  %s", name);
    bt_buffer_column(out, VALUE);
}

/* ---- sizes to buy ---- */

static void say_yield(struct bt_buffer *out, const struct bt_quarter *q,
                      enum bt_system system)
{
    bt_buffer_format(out, "%s usually yields ", q->name);
    bt_say_thick(out, q->two_sides, 0, system);
    bt_buffer_text(out, " surfaced on both sides");
    if (isnan(q->one_side))
        return;
    bt_buffer_text(out, ", ");
    bt_say_thick(out, q->one_side, 0, system);
    bt_buffer_text(out, " on one");
}

/* `5/4 usually yields ...: boards 1, 2`. */
static bool add_quarter(struct bt_buffer *out, const struct bt_stock_answer *a,
                        const struct bt_quarter *q, bool any, enum bt_system system)
{
    const char *between = ": boards ";

    for (size_t i = 0; i < a->stock.n; i++) {
        if (bt_stock_rough(a, i)->nominal != q)
            continue;
        if (*between == ':') {
            bt_buffer_text(out, any ? "  " : "\nNominal sizes\n  ");
            say_yield(out, q, system);
        }
        bt_buffer_text(out, between);
        bt_buffer_name(out, bt_stock_rough(a, i)->name);
        between = ", ";
        if (!(a->stock.board[i].scant > bt_stock_rule(BT_RULE_SCANT)->value))
            continue;
        bt_buffer_text(out, " (scant by ");
        bt_say_thick(out, a->stock.board[i].scant,
                     bt_stock_rough(a, i)->u[BT_STOCK_THICKNESS], system);
        bt_buffer_text(out, ", more than usual)");
    }
    bt_buffer_text(out, *between == ':' ? "" : "\n");
    return any || *between != ':';
}

void bt_text_stock_quarters(struct bt_buffer *out, const struct bt_stock_answer *a,
                            enum bt_system system)
{
    const struct bt_quarter *buy = bt_quarter_for(a->wanted);
    bool any = false;

    for (size_t k = 0; bt_quarter_at(k); k++)
        any = add_quarter(out, a, bt_quarter_at(k), any, system);
    if (buy) {
        bt_buffer_text(out, any ? "  to buy for " : "\nNominal sizes\n  to buy for ");
        bt_say_thick(out, a->wanted, 0, system);
        bt_buffer_text(out, ": ");
        say_yield(out, buy, system);
        bt_buffer_text(out, "\n");
    }
    if (buy || any)
        bt_buffer_format(out, "  (%s)\n", bt_quarter_at(0)->source);
}

/* ---- moisture ---- */

static void say_percent(struct bt_buffer *out, double percent)
{
    const long tenths = lround(percent * 10);

    bt_buffer_format(out, "%ld.%ld %%", tenths / 10, tenths % 10);
}

static void say_days(struct bt_buffer *out, const struct bt_days *days)
{
    /* whole days, rounded up: the spread is far larger */
    bt_buffer_format(out, "%ld to %ld days", lround(ceil(days->least)),
                     lround(ceil(days->most)));
}

static void add_drying(struct bt_buffer *out, const struct bt_stock_answer *a, size_t i,
                       enum bt_system system)
{
    const double dries = a->stock.board[i].dries;

    if (!(dries > 0))
        return;
    bt_buffer_text(out, "; it dries ");
    bt_say_length(out, dries, dries / 4, system);
    bt_buffer_text(out, " thinner, which is taken off above");
}

void bt_text_stock_moisture(struct bt_buffer *out, const struct bt_stock_answer *a,
                            enum bt_system system)
{
    bt_buffer_text(out, "\nMoisture\n");
    bt_stock_name(out, "what the room brings");
    if (isnan(a->room)) {
        bt_buffer_text(out, "not known: write now, or driest and dampest, in "
                            "[climate]\n");
        return;
    }
    say_percent(out, a->room);
    bt_buffer_format(out, " (%s)\n", a->room_source);
    for (size_t i = 0; i < a->stock.n; i++) {
        const struct bt_rough_board *board = bt_stock_rough(a, i);

        if (isnan(board->moisture))
            continue;
        bt_buffer_text(out, "  board ");
        bt_buffer_name(out, board->name);
        bt_buffer_text(out, " ");
        bt_buffer_column(out, VALUE);
        say_percent(out, board->moisture);
        if (a->wait[i].most > 0) {
            bt_buffer_text(out, ": wait ");
            say_days(out, &a->wait[i]);
            bt_buffer_text(out, ", in stickers");
            add_drying(out, a, i, system);
        } else if (!isnan(a->wait[i].most)) {
            bt_buffer_text(out, ": as the room, to what a meter tells");
        }
        bt_buffer_text(out, "\n");
    }
    bt_buffer_text(out, "  Surfaced before that it warps again.  Days are from the "
                        "fastest to the slowest drying of a flat board with\n  both "
                        "faces open, until it is within ");
    say_percent(out, bt_stock_rule(BT_RULE_METER_PRECISION)->value);
    bt_buffer_text(out, " of the room.\n");
}

/* ---- machines ---- */

void bt_text_stock_trouble(struct bt_buffer *out, const struct bt_stock_answer *a)
{
    static const struct {
        unsigned bit;
        const char *words;
    } rows[] = {
        {BT_STOCK_SHORT_FOR_JOINTER, "too short for the jointer as planned: surface it "
                                     "before it is cut, or plane it by hand"},
        {BT_STOCK_SHORT_FOR_PLANER, "too short for the planer as planned: surface it "
                                    "before it is cut, or plane it by hand"},
        {BT_STOCK_THIN_FOR_PLANER, "thinner than the planer takes: on a carrier board, "
                                   "or by hand"},
        {BT_STOCK_WIDE_FOR_JOINTER, "wider than the jointer: rip it first, or flatten "
                                    "one face by hand or on a sled in the planer"},
        {BT_STOCK_WIDE_FOR_PLANER, "wider than the planer: rip it first"},
        {BT_STOCK_NO_STRIP, "its crook leaves no strip of the width to be ripped"},
    };
    bool any = false;

    for (size_t i = 0; i < a->stock.n; i++)
        for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
            if (!(a->stock.board[i].trouble & rows[k].bit))
                continue;
            bt_buffer_text(out, any ? "" : "\nMachines\n");
            any = true;
            bt_buffer_text(out, "  board ");
            bt_buffer_name(out, bt_stock_rough(a, i)->name);
            bt_buffer_format(out, ": %s\n", rows[k].words);
        }
}

void bt_text_stock_cautions(struct bt_buffer *out, const struct bt_stock_answer *a)
{
    bt_buffer_text(out, "\nCautions\n");
    for (size_t c = 0; c < bt_caution_count(); c++) {
        const struct bt_caution *caution = bt_caution_at(c);
        const char *between = " HERE: board ";

        if (!(caution->when & (unsigned)BT_CAUTION_STOCK))
            continue;
        bt_buffer_format(out, "  - %s", caution->text);
        for (size_t i = 0; i < a->stock.n; i++) {
            const struct bt_stock_piece *piece = bt_stock_planned(a, i);

            if (!bt_caution_applies(caution, piece->length, piece->width, piece->both))
                continue;
            bt_buffer_text(out, between);
            bt_buffer_name(out, bt_stock_rough(a, i)->name);
            between = ", ";
        }
        bt_buffer_format(out, "%s (%s)\n", *between == ',' ? "." : "", caution->source);
    }
}

/* ---- details ---- */

void bt_text_stock_details(struct bt_buffer *out, const struct bt_stock_answer *a,
                           enum bt_system system)
{
    const struct bt_stock_setup *s = &a->job->stock;
    const struct {
        const char *name;
        double value;
        const char *source;
    } rows[] = {
        {"jointer, least length", s->jointer_least_length,
         bt_stock_rule(BT_RULE_JOINTER_LENGTH)->source},
        {"planer, least length", s->planer_least_length,
         bt_stock_rule(BT_RULE_PLANER_LENGTH)->source},
        {"planer, least thickness", s->planer_least_thickness,
         bt_stock_rule(BT_RULE_PLANER_THICKNESS)->source},
    };
    const struct bt_stock_setup usual = bt_stock_none();
    const double taken[] = {usual.jointer_least_length, usual.planer_least_length,
                            usual.planer_least_thickness};

    bt_buffer_text(out, "\nDetails\n");
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        bt_stock_name(out, rows[i].name);
        bt_say_thick(out, rows[i].value, 0, system);
        /* what is typed takes the place of what was taken */
        bt_buffer_format(out, " (%s)\n",
                         fabs(rows[i].value - taken[i]) > 0 ? "[stock] of job.ini"
                                                            : rows[i].source);
    }
    bt_stock_name(out, "kerf");
    bt_say_thick(out, a->kerf, 0, system);
    bt_buffer_text(out, a->kerf_assumed ? " (taken; common practice, no source: [plan] "
                                          "kerf)\n"
                                        : " ([plan] of job.ini)\n");
    bt_stock_name(out, "u of the readings");
    bt_buffer_format(out, "%zu typed, %zu from the last digit\n", s->u_typed,
                     s->u_digit);
    for (size_t i = 0; i < a->stock.n; i++) {
        const struct bt_stock_board *board = &a->stock.board[i];

        bt_buffer_text(out, "  board ");
        bt_buffer_name(out, bt_stock_rough(a, i)->name);
        bt_buffer_text(out, " ");
        bt_buffer_column(out, VALUE);
        bt_buffer_text(out, "straight ");
        bt_say_thick(out, board->straight, bt_stock_rough(a, i)->u[BT_STOCK_CROOK],
                     system);
        bt_buffer_text(out, " wide");
        if (board->strips)
            bt_buffer_format(out, ", %zu %s", board->strips,
                             board->strips == 1 ? "strip" : "strips");
        bt_buffer_text(out, "\n");
    }
    bt_buffer_text(out, "  Bow and cup are taken to be hollow on one face, where they "
                        "cost most; a part has bow (l/L)^2, cup (w/W)^2,\n  twist "
                        "(l/L)(w/W) of the whole board: docs/methods.md.\n");
}
