/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_SURFACE_PLAN_PRIVATE_H
#define BT_SURFACE_PLAN_PRIVATE_H

#include "benchtrue/surface/plan.h"

/* Stations along one axis at most: of a bar, half its foot distance apart. */
enum { PLAN_STATIONS = 41 };

/* A placement that could be made. */
struct plan_option {
    size_t instrument;
    enum bt_plan_kind kind;
    size_t family;   /* alike for one line read at more or fewer places: one at most is
                        chosen of each */
    size_t first, n; /* in world.place */
    size_t nreading;
    double cost;
};

/* Places, and the placements over them. */
struct plan_world {
    const struct bt_plan_request *request;
    size_t nx, ny;
    double x[PLAN_STATIONS], y[PLAN_STATIONS];
    size_t ntaken; /* the first points are those of `taken` */
    size_t npoint;
    struct bt_point *point;
    size_t *grid; /* [ny * nx] points */
    size_t noption, option_room;
    struct plan_option *option;
    size_t nplace, place_room;
    size_t *place; /* points of the options */
    size_t nfamily;
};

/* What a set of options would give. */
struct plan_figures {
    double u[BT_PLAN_FIGURES]; /* NaN not seen */
    double cost;
    size_t nreading, dof, checked;
    bool corners; /* are read */
    bool covers;  /* the middles of the sides and of the panel as well */
    bool firm;    /* no figure hangs on a shape that is hardly seen (bt_network.weak) */
    bool shares;  /* as a sound plan wants */
};

/* What is asked of it. */
struct plan_demand {
    double aim[BT_PLAN_FIGURES]; /* NaN: not wanted */
    bool checked; /* half of the readings checked, dof 2 or more, places shared */
};

/* A search, and the set it stands at. */
struct plan_search {
    const struct plan_world *world;
    struct plan_demand demand;
    bool *chosen; /* [noption] */
    struct plan_figures now;
    size_t evaluated, most; /* sets tried, and how many may be */
};

/*
 * Build places and options of one set of instruments.
 *
 *   use   [ninstrument]
 *   bar   index of the bar whose feet give the stations, or ninstrument: fractions of
 *         the panel
 *   world out: to be freed with plan_world_clear, also after an error
 */
enum bt_status plan_world_build(const struct bt_plan_request *request, const bool use[],
                                size_t bar, struct plan_world *world);
void plan_world_clear(struct plan_world *world);

/* Stations of one axis; returns how many. */
size_t plan_stations(double length, double step, double widest, size_t least,
                     double out[PLAN_STATIONS]);

/* Options over the stations of the world. */
enum bt_status plan_options_add(struct plan_world *world, size_t instrument);

/*
 * Add the readings of one placement, values 0, to r, whose arrays have room.
 *
 *   point, place  places of the placement are point[place[0]] ..; indices of r->point
 *   zero_group    [ninstrument] BT_NO_GROUP until the zero of an instrument has one
 */
enum bt_status plan_observe(const struct bt_plan_request *request,
                            enum bt_plan_kind kind, size_t instrument, size_t n,
                            const size_t place[], int zero_group[],
                            struct bt_readings *r);

/* Readings of a placement over n places. */
size_t plan_readings_of(enum bt_plan_kind kind, size_t n);
double plan_cost_of(enum bt_plan_kind kind, size_t n);

/* What the chosen options would give with what was taken. */
enum bt_status plan_evaluate(const struct plan_world *world, const bool chosen[],
                             struct plan_figures *out);

/* The readings of the chosen options behind those taken; all points of the world. */
enum bt_status plan_assemble(const struct plan_world *world, const bool chosen[],
                             struct bt_readings *out);

bool plan_meets(const struct plan_figures *figures, const struct plan_demand *demand);

/* Leave out, shorten and exchange from the set chosen, which meets the demand. */
enum bt_status plan_search_run(struct plan_search *search);

/* Put the steps into walking order, and turn lines so that they begin at the near end;
 * but for a level of unknown zero, whose direction counts. */
void plan_walk(const struct bt_plan_request *request, struct bt_plan *plan);

#endif
