/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_TESTS_DRAW_PANEL_H
#define BENCHTRUE_TESTS_DRAW_PANEL_H

#include "benchtrue/draw/figure.h"

enum { PANEL_POINTS = 40000, PANEL_OBS = 600 };

/* A panel of 800 x 400 mm with heights of our choice, as a figure takes it; no memory
 * of its own. */
struct panel {
    struct bt_job job;
    struct bt_set set;
    struct bt_flatness flatness;
    struct bt_figure_input input;
    struct bt_point point[PANEL_POINTS];
    double z[PANEL_POINTS], u[PANEL_POINTS];
    struct bt_obs obs[PANEL_OBS];
    struct bt_group group[8];
    double joint[2];
};

typedef double panel_height(double x, double y);

/* nx by ny places over the whole panel, heights typed over a reference. */
void panel_grid(struct panel *panel, size_t nx, size_t ny, panel_height *height);

/* n places thrown at random, always the same ones: a scan. */
void panel_scan(struct panel *panel, size_t n, panel_height *height);

/* One more placement of a straightedge over n of the points, with its gaps. */
void panel_edge(struct panel *panel, size_t n, const size_t point[],
                const double gap[]);

#endif
