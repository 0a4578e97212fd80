/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "report/joint_wood.h"

#include <string.h>

static const char *species_of(const struct bt_job *job, size_t board)
{
    const char *own = board < job->nboard ? job->board[board].species : NULL;

    if (own && *own)
        return own;
    return job->panel.species ? job->panel.species : "";
}

enum bt_status bt_joint_wood(const struct bt_job *job, size_t board,
                             struct bt_wood *wood, struct bt_error *err)
{
    const char *species = species_of(job, board);

    if (!*species)
        return bt_error_set(
            err, BT_EINPUT, board, 0,
            "no species is stated: write species in [panel] of job.ini, "
            "or a column species in boards.csv");
    return bt_wood_find(species, strlen(species), wood, err);
}
