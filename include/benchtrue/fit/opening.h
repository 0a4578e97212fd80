/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_FIT_OPENING_H
#define BENCHTRUE_FIT_OPENING_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/base/status.h"

/*
 * The space that a piece goes into, as it was measured, and what is wanted of the
 * piece.  Seen from above as the piece lies: corners A back left, B back right, C front
 * right, D front left; walls back AB, right BC, front DC, left AD.
 */
enum bt_wall { BT_WALL_BACK, BT_WALL_RIGHT, BT_WALL_FRONT, BT_WALL_LEFT, BT_WALLS };

/* `back`, `right`, `front`, `left`; "unknown wall" outside the list. */
BT_API const char *bt_wall_name(enum bt_wall wall);

/* The corners that a wall runs between, from its first: back A B, right B C, front D C,
 * left A D. */
BT_API void bt_wall_corners(enum bt_wall wall, int *from, int *to);

enum bt_opening_kind {
    BT_OPENING_SIDE,     /* between the two corners of a wall */
    BT_OPENING_DIAGONAL, /* AC or BD */
    BT_OPENING_WIDTH,    /* between left and right wall, along the back wall's line */
    BT_OPENING_DEPTH,    /* from the back wall to the front line, square to the back */
    BT_OPENING_ANGLE,    /* inside angle of a corner */
    BT_OPENING_OFFSET,   /* from a straight batten laid along a wall to the wall */
    BT_OPENING_POINT, /* a point of a wall, traced in a frame of the template's own */
    BT_OPENING_KINDS
};

/* `side`, `diagonal`, ..., as opening.csv has them; "unknown kind" outside the list. */
BT_API const char *bt_opening_kind_name(enum bt_opening_kind kind);

struct bt_opening_reading {
    enum bt_opening_kind kind;
    int where;     /* side, offset, point: enum bt_wall; diagonal: 0 AC, 1 BD; angle:
                      corner, 0 A to 3 D; else 0 */
    double at;     /* mm: width, from the back wall; depth, from corner A; offset, along
                      the wall from its first corner; else NaN */
    double value;  /* mm; angle: rad; offset: positive where the wall lies behind the
                      batten; point: NaN */
    double x, y;   /* of a point, mm; else NaN */
    double u;      /* standard uncertainty of value, or of a point square to its wall,
                      mm or rad, > 0 */
    size_t source; /* line of the file; the caller's own number */
};

/* `side left`, `diagonal AC`, `width at 300 mm` without its number: `width`; the words
 * of a message.  out: NUL-terminated.  Returns out. */
enum { BT_OPENING_NAME_ROOM = 32 };
BT_API const char *bt_opening_reading_name(char out[BT_OPENING_NAME_ROOM],
                                           const struct bt_opening_reading *reading);

enum bt_outline_page { BT_PAGE_A4, BT_PAGE_LETTER };

/* [opening]: what is wanted.  NaN: not stated. */
struct bt_opening_plan {
    bool front_wall; /* the front is a wall too; else it is open */
    bool from_above; /* it is let in from above; else through the front */
    double joint; /* gap to the walls left and right, and to a front wall, mm, >= 0 */
    double back_joint; /* gap to the back wall, mm, >= 0 */
    double sealant;    /* movement that the sealant takes, percent of the joint */
    double clearance;  /* least gap, mm, >= 0, that it needs while it goes in */
    double overhang;   /* beyond the front line, mm, >= 0 */
    double headroom;   /* free height above the seat of the piece, mm, > 0 */
    double scribe;     /* most that is scribed, mm, >= 0 */
    double thickness;  /* of the piece, mm, > 0 */
    int spacer;        /* index of the feeler that gaps are told in, -1 none */
    enum bt_outline_page page; /* of the tiled outline */
};

/* Nothing stated: an open front, entered from the front, A4. */
BT_API struct bt_opening_plan bt_opening_plan_none(void);

#endif
