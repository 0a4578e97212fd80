/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "draw/panel.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

static void start(struct panel *p)
{
    static char title[] = "Cherry shelf", name[] = "after glue-up", none[] = "";

    memset(p, 0, sizeof *p);
    p->job.title = title;
    p->job.same_point = 3;
    p->job.panel = (struct bt_panel){800, 400, 20, none};
    p->set.name = name;
    memcpy(p->set.date, "2026-03-02", sizeof "2026-03-02");
    p->set.readings.point = p->point;
    p->set.readings.obs = p->obs;
    p->set.readings.group = p->group;
    p->flatness.used = &p->set.readings;
    p->flatness.z = p->z;
    p->flatness.u = p->u;
    p->flatness.residual.range.u = 0.02;
    p->input = (struct bt_figure_input){
        .job = &p->job, .set = &p->set, .flatness = &p->flatness, .band = NAN};
}

static void add(struct panel *p, double x, double y, panel_height *height)
{
    size_t n = p->set.readings.npoint++;

    p->point[n] = (struct bt_point){x, y};
    p->z[n] = height(x, y);
    p->u[n] = 0.02;
}

void panel_grid(struct panel *p, size_t nx, size_t ny, panel_height *height)
{
    start(p);
    for (size_t j = 0; j < ny; j++)
        for (size_t i = 0; i < nx; i++)
            add(p, 800.0 * (double)i / (double)(nx - 1),
                400.0 * (double)j / (double)(ny - 1), height);
    p->set.kinds[BT_READ_HEIGHT] = nx * ny;
    for (size_t i = 0; i < nx * ny && i < PANEL_OBS; i++, p->set.readings.nobs++)
        p->obs[i] = (struct bt_obs){
            .kind = BT_READ_HEIGHT, .group = BT_NO_GROUP, .npoint = 1, .point = {i}};
}

void panel_scan(struct panel *p, size_t n, panel_height *height)
{
    uint64_t state = 7;

    start(p);
    for (size_t i = 0; i < n; i++) {
        double at[2];

        /* Linear congruential, constants of D. E. Knuth's MMIX, from memory. */
        for (int k = 0; k < 2; k++) {
            state = state * 6364136223846793005u + 1442695040888963407u;
            at[k] = (double)(state >> 11) / 9007199254740992.0;
        }
        add(p, 800 * at[0], 400 * at[1], height);
    }
    p->set.kinds[BT_READ_SCAN] = n;
}

void panel_edge(struct panel *p, size_t n, const size_t point[], const double gap[])
{
    struct bt_readings *r = &p->set.readings;

    for (size_t i = 0; i < n; i++)
        p->obs[r->nobs++] = (struct bt_obs){.kind = BT_READ_GAP,
                                            .group = (int)r->ngroup,
                                            .npoint = 1,
                                            .point = {point[i]},
                                            .value = gap[i],
                                            .u = 0.02};
    p->group[r->ngroup++] = (struct bt_group){.dim = 2, .instrument = -1};
    p->set.kinds[BT_READ_GAP] += n;
}
