/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_FIT_STOCK_H
#define BENCHTRUE_FIT_STOCK_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"
#include "benchtrue/fit/stock_rules.h"
#include "benchtrue/fit/warp.h"

/*
 * Rough boards: the thickness that each cleans up to, whole, cut to length first,
 * ripped first, or both; and what the panel comes to.
 *
 * A board is of even thickness t (at its thinnest place; a taper is on top of that)
 * with both faces warped alike.  One face is made flat: its zone w comes off, where it
 * stands highest (warp.h).  The other face is made parallel to it: it cleans up where
 * nothing is left of its lowest place, at t - w.
 *
 *   one face     t - w - allowance at the thinnest place, the other face as it was sawn
 *   both faces   t - w - 2 allowance, everywhere
 */

/* What is read of a board. */
enum bt_stock_reading {
    BT_STOCK_THICKNESS,
    BT_STOCK_CUP,
    BT_STOCK_BOW,
    BT_STOCK_TWIST,
    BT_STOCK_CROOK,
    BT_STOCK_TAPER,
    BT_STOCK_READINGS
};

/* `thickness`, `cup`, ...; NULL outside the list. */
BT_API const char *bt_stock_reading_name(enum bt_stock_reading reading);

/* A row of stock.csv.  Lengths mm; NaN not stated. */
struct bt_rough_board {
    char *name, *species;           /* "" not stated */
    size_t line;                    /* of stock.csv */
    double length, width;           /* > 0 */
    double size[BT_STOCK_READINGS]; /* >= 0, thickness > 0; NaN not read */
    double u[BT_STOCK_READINGS]; /* standard uncertainty of each, > 0; NaN with size */
    double moisture;             /* percent */
    const struct bt_quarter *nominal; /* NULL not stated */
    double cut;                       /* length of each piece; NaN: not cut */
    size_t pieces;                    /* 1 or more */
    double rip;                       /* width of each strip; NaN: not ripped */
};

/* [stock] and stock.csv.  NaN not stated. */
struct bt_stock_setup {
    double thickness;                   /* wanted */
    double allowance;                   /* off each face, >= 0; 0 where not stated */
    double jointer_width, planer_width; /* widest that they take */
    double jointer_least_length, planer_least_length, planer_least_thickness;
    size_t n;
    struct bt_rough_board *board;
    size_t u_typed, u_digit; /* readings whose u is typed, and from the digits */
};

/* Nothing stated, no board. */
BT_API struct bt_stock_setup bt_stock_none(void);

/* In what state a board is surfaced. */
enum bt_stock_way {
    BT_STOCK_WHOLE,
    BT_STOCK_CUT,    /* to length first */
    BT_STOCK_RIPPED, /* first */
    BT_STOCK_CUT_RIPPED,
    BT_STOCK_WAYS
};

/* `whole`, `cut first`, `ripped first`, `cut and ripped first`; NULL outside. */
BT_API const char *bt_stock_way_name(enum bt_stock_way way);

struct bt_stock_piece {
    bool there;           /* the board is to be cut, or ripped, so; else all NaN */
    double length, width; /* as surfaced, mm */
    size_t together;      /* pieces of the cut that are surfaced in one, so that the
                             machines may take them; 1 where each is alone */
    double off;           /* the zone, mm */
    double one, both;     /* thickness, mm; may be 0 or less: nothing is left */
    double u;             /* of off, one and both: with that of the thickness */
    double u_off;         /* of off alone */
    double p;             /* that both is the wanted thickness or more; NaN */
};

/* What the machines' rules say of a board as it is planned. */
enum bt_stock_trouble {
    BT_STOCK_SHORT_FOR_JOINTER = 1,
    BT_STOCK_SHORT_FOR_PLANER = 2,
    BT_STOCK_THIN_FOR_PLANER = 4,
    BT_STOCK_WIDE_FOR_JOINTER = 8,
    BT_STOCK_WIDE_FOR_PLANER = 16,
    BT_STOCK_NO_STRIP = 32 /* crook leaves no strip of the width to be ripped */
};

struct bt_stock_board {
    struct bt_stock_piece piece[BT_STOCK_WAYS];
    enum bt_stock_way planned; /* all that stock.csv asks for */
    enum bt_stock_way first;   /* of cutting and ripping, where both are asked for, what
                                  saves more by itself; else planned */
    bool seen;                 /* cup, bow and twist are all read; else thicknesses are
                                  the most that they can be */
    double longest;   /* piece, as wide as planned, that makes the wanted thickness at
                         the confidence asked for; NaN none does, or nothing is wanted */
    double narrowest; /* as long as planned: the widest strip that makes it; NaN */
    double straight;  /* width left by the crook of the piece, mm; the width where none
                         is read */
    size_t strips;    /* of the rip that come out of that; 0 not ripped */
    unsigned trouble; /* bits of enum bt_stock_trouble */
    double scant;     /* by how much it is thinner than its nominal size, mm; NaN */
    double dries;     /* thinner by drying to the room, mm, taken off one and both;
                         0 where not known or not */
};

/* The panel: all its boards brought to one thickness. */
struct bt_stock_common {
    double thickness; /* the least `both`, mm */
    double u;         /* of that board */
    double sure;      /* that all boards make at the confidence asked for, mm */
    size_t limiting;  /* board */
    double p;         /* that all boards make the wanted thickness; NaN */
    double without;   /* the same without the limiting board; NaN with one board */
    double shorter, narrower; /* the same with it in two lengths, in two strips (and
                                 their kerf), each by itself; shorter NaN where the
                                 machines would not take the pieces */
};

struct bt_stock_request {
    const struct bt_stock_setup *setup; /* n boards, 1 or more */
    double wanted;                      /* thickness, mm; NaN: none */
    double kerf;                        /* mm, >= 0 */
    double confidence;                  /* 0.5 < c < 1 */
    double room;           /* moisture that the room brings, percent; NaN */
    const double *c, *u_c; /* [n] change of thickness, share per percent of moisture,
                              and its u; NaN not known; NULL none known */
};

struct bt_stock {
    size_t n;
    struct bt_stock_board *board; /* [n] */
    struct bt_stock_common common;
};

/*
 * out: to be freed with bt_stock_clear; untouched on error.
 *
 * Pieces that are shorter than the machines take are counted together until they are
 * not (piece.together).  Returns BT_OK; BT_EINPUT (no board, a size that is NaN or not
 * over 0, kerf or allowance below 0: row at fault); BT_ENOMEM.
 */
BT_API enum bt_status bt_stock_find(const struct bt_stock_request *request,
                                    struct bt_stock *out, struct bt_error *err);

/* Free what it holds and clear it. */
BT_API void bt_stock_clear(struct bt_stock *stock);

#endif
