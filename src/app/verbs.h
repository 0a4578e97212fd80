/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_APP_VERBS_H
#define BENCHTRUE_APP_VERBS_H

#include "app/options.h"

/* The bit of each verb, by which the table of options says whose they are. */
enum {
    CHECK = 1,
    FLATNESS = 2,
    HELP = 4,
    NEW = 8,
    FENCE = 16,
    EDGES = 32,
    GLUEUP = 64,
    MEASURE = 128,
    TREND = 1024,
    DECIDE = 2048,
    SHEET = 4096,
    REPORT = 8192,
    STOCK = 16384,
    MOVEMENT = 65536,
    OPENING = 131072,
    LAYOUT = 1 << 20
};

/* Verbs whose job goes without saying inside its folder. */
enum {
    IN_FOLDER = CHECK | FLATNESS | FENCE | EDGES | GLUEUP | MEASURE | TREND | DECIDE |
                SHEET | REPORT | STOCK | MOVEMENT | OPENING | LAYOUT
};

/* Verbs that answer with figures. */
enum {
    ANSWERS = FLATNESS | FENCE | EDGES | GLUEUP | MEASURE | TREND | DECIDE | MOVEMENT |
              OPENING | LAYOUT | STOCK
};

#endif
