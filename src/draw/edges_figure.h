/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_DRAW_EDGES_FIGURE_H
#define BENCHTRUE_DRAW_EDGES_FIGURE_H

#include "benchtrue/draw/figure_edges.h"
#include "draw/end_view.h"
#include "draw/page.h"

#define EDGES_FULL (PAGE_WIDTH - 2 * PAGE_MARGIN)

/* Everything that the figure shows, worked out before anything is drawn. */
struct edges_figure {
    const struct bt_edges_figure *in;
    size_t n;
    struct end_shape *shape; /* [n] */
    unsigned *warn;          /* [2 n] of the back and the front edge of each board */
    double letter;           /* size of the letters, mm */
    /* The boards apart. */
    int factor;
    double scale;        /* page per mm */
    double ratio;        /* 1/scale, as written */
    size_t most_per_row; /* boards */
    double highest;      /* of their ends, page */
    /* All of them together. */
    double panel_scale;
    int bend;                  /* factor of the section's angles */
    struct bt_point *together; /* [n * END_CORNERS] in mm, y down, the outer ends of the
                                  show face level at y 0 */
    double over, under;        /* its reach over and under that level, mm */
    bool bent;                 /* anything to exaggerate */
};

/* What a rule says against an edge. */
enum {
    EDGES_WARN_FACE = 1,  /* the maker wanted the other face at the fence */
    EDGES_WARN_GRAIN = 2, /* against the grain, allowed */
    EDGES_WARN_GRAIN_FORBIDDEN = 4
};

/* Room that a board's labels need, page mm. */
double edges_slot(const struct edges_figure *f, size_t board);

/* How far to the left and right a board's corners reach, mm. */
double edges_left(const struct bt_point corner[END_CORNERS]);
double edges_right(const struct bt_point corner[END_CORNERS]);

/* Gap between two slots. */
#define EDGES_GAP 4.5

/* Work it out; edges_clear in any case.  Errors as for bt_figure_edges. */
enum bt_status edges_prepare(const struct bt_edges_figure *in, struct edges_figure *f,
                             struct bt_error *err);
void edges_clear(struct edges_figure *f);

/* Draw all of it (a page_draw). */
double edges_draw(const void *figure, struct page *page);

/* Its parts, in the order drawn. */
void edges_draw_head(const struct edges_figure *f, struct page *page, double *y);
void edges_draw_faces(const struct edges_figure *f, struct page *page, double *y);
void edges_draw_rows(const struct edges_figure *f, struct page *page, double *y);
void edges_draw_section(const struct edges_figure *f, struct page *page, double *y);
void edges_draw_table(const struct edges_figure *f, struct page *page, double *y);
void edges_draw_foot(const struct edges_figure *f, struct page *page, double *y);

/* The corners of a board among the others, exaggerated: of the section. */
void edges_chain(size_t n, const struct end_shape shape[], int factor,
                 struct bt_point corner[]);

/* Which way the grain runs out in the board as it is glued. */
enum bt_grain edges_grain(const struct edges_figure *f, size_t board);

/* Whether the left end leads through the machine, with the show face at the fence or
 * away from it. */
bool edges_left_leads(bool front, enum bt_run run, enum bt_feed feed);

/* A box with an exclamation mark about a place. */
void edges_mark_warning(const struct edges_figure *f, struct page *page, double x,
                        double y);

/* Its name; "" where it has none. */
const char *edges_name(const struct edges_figure *f, size_t board);

enum bt_run edges_run(const struct edges_figure *f, size_t board, bool front);

/* Lay a path through corners at x, y, page per mm. */
void edges_trace(struct page *page, const struct bt_point corner[END_CORNERS], double x,
                 double y, double scale);

#endif
