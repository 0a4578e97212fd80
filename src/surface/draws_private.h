/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BT_SURFACE_DRAWS_PRIVATE_H
#define BT_SURFACE_DRAWS_PRIVATE_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/surface/draws.h"
#include "benchtrue/surface/network.h"
#include "surface/random.h"
#include "surface/zone_private.h"

/* Draws that are made side by side, from one stream of random numbers. */
enum { LANES = 8 };

/* ---- noise ---- */

/* Noise of covariance C over the points' plane: C = F F^T by Cholesky with pivots. */
struct draws_noise {
    size_t n, rank;
    size_t *order;  /* [n] point of each row */
    double *factor; /* [n][rank], row k with k + 1 entries or all */
};

/*
 * Factor a covariance after the plane is taken off.  planes: how many of 1, x, y the
 * points tell apart.  BT_EINPUT where it is none; BT_ENOMEM.
 */
enum bt_status draws_noise_make(size_t n, const struct bt_point p[],
                                const double covariance[], struct draws_noise *noise,
                                size_t *planes, struct bt_error *err);
void draws_noise_clear(struct draws_noise *noise);

/* g[rank][LANES] standard normal -> h[n][LANES]. */
void draws_noise_apply(const struct draws_noise *noise, const double g[], double h[]);

/*
 * Covariance of some heights of a network over their plane, shared errors included.
 *
 *   k, kept[k]         points that no unseen shape moves
 *   covariance[k * k]  out
 */
enum bt_status draws_covariance(const struct bt_network *net, size_t k,
                                const size_t kept[], double covariance[]);

/* The same where the rounding of readings of one number is one error
 * (bt_network_alike); covariance[k * k] in: of draws_covariance. */
enum bt_status draws_covariance_alike(const struct bt_network *net, size_t k,
                                      const size_t kept[], double covariance[]);

/* ---- zone ---- */

enum { STARTS = 16 };

/* Four points to start from: their weights and the inverse of their system. */
struct draws_start {
    size_t point[4];
    double weight[4]; /* sum |weight| 1, sum weight (1, u, v) 0 */
    double inverse[4][4];
};

struct draws_zone {
    size_t n, room; /* room: n, up to a multiple of eight */
    double *u, *v;  /* [room] of size 1; behind n those of point 0 */
    size_t nstart;
    struct draws_start start[STARTS];
};

enum bt_status draws_zone_make(size_t n, const struct bt_point p[],
                               struct draws_zone *zone);
void draws_zone_clear(struct draws_zone *zone);

/* What one thread needs for it. */
struct draws_zone_work {
    double *h, *r; /* [room] each */
    struct zone_set set;
};

bool draws_zone_work_make(const struct draws_zone *zone, struct draws_zone_work *work);
void draws_zone_work_clear(struct draws_zone_work *work);

/* Width in z of the zone of work->h[n]. */
double draws_zone_width(const struct draws_zone *zone, struct draws_zone_work *work);

/* The same without a start, by the general solver. */
double draws_zone_slow(const struct draws_zone *zone, struct draws_zone_work *work);

/* ---- straightedge ---- */

/* A point under an edge whose left end rests on another. */
struct draws_pair {
    size_t point;
    double distance, share; /* mm; 1 / mm */
    bool beyond;            /* the pair before lies farther than this one */
};

/* All points within one span to the right of a point, farthest first. */
struct draws_fan {
    size_t left, first, count;
};

struct draws_edge {
    bool seen;       /* some line has three places within the span */
    size_t together; /* see bt_draws_edge; then the rest is empty */
    size_t nfan, fan_room, npair, pair_room;
    struct draws_fan *fan;
    struct draws_pair *pair;
};

enum bt_status draws_edge_make(size_t n, const struct bt_point p[],
                               const struct bt_draws_edge *asked,
                               struct draws_edge *edge, struct bt_error *err);
void draws_edge_clear(struct draws_edge *edge);

/* Largest gap of each lane of h[n][LANES], and of -h. */
void draws_edge_gaps(const struct draws_edge *edge, const double h[], double up[LANES],
                     double down[LANES]);

#endif
