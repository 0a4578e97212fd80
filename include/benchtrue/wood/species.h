/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef BENCHTRUE_WOOD_SPECIES_H
#define BENCHTRUE_WOOD_SPECIES_H

#include <stdbool.h>
#include <stddef.h>

#include "benchtrue/export.h"

/*
 * Species of wood as the handbooks publish them, and how they are found by name.  The
 * table is made from reference/shrinkage.csv, dimensional_change.csv and mechanical.csv
 * when the program is built; what a wood is taken to be in a calculation (missing
 * values filled in, an uncertainty to each) is in wood.h.
 */

/* A published value. */
struct bt_property {
    double value;    /* NaN where none is published here */
    const char *row; /* its row of the table it is from, which may be a group of species
                        (`Oak, red, commercial`); "" where none */
    const char *status; /* `seen`, `from memory`, ...: reference/README.md; "" none */
    const char *source; /* document, table and page; "" none */
};

struct bt_species {
    const char *name;      /* `Ash, white`: what it is first, then which */
    const char *botanical; /* `Fraxinus americana`; "" where not known */
    const char *group;     /* `hardwood (US)`, `softwood (US)`, `imported`, ... */
    struct bt_property shrink_radial, shrink_tangential; /* percent, green to ovendry */
    struct bt_property c_radial, c_tangential; /* change of a dimension per percent of
                                                  moisture, as a share of it */
    struct bt_property saturation; /* moisture at which shrinkage starts, percent */
    struct bt_property gravity;    /* specific gravity: mass ovendry, volume at 12 % */
    bool green_volume;             /* volume of gravity green instead */
    struct bt_property moe; /* MPa, at 12 %, from bending with a span of 14 depths:
                               it contains the shear, E_L is about a tenth more */
    struct bt_property ratio_tangential, ratio_radial; /* E_T/E_L, E_R/E_L */
    struct bt_property c_perp; /* MPa, compression across the grain at the proportional
                                  limit */
    const char *note;          /* remarks of the tables; "" none */
};

/* How many there are. */
BT_API size_t bt_species_count(void);

/* Species in the order of the alphabet (ASCII); NULL for i beyond the last. */
BT_API const struct bt_species *bt_species_at(size_t i);

/*
 * The species that a text may mean, in the order of the table.
 *
 *   text[length]  common name in either order (`white oak`, `Oak, white`, `oak white`),
 *                 part of one (`oak`, `mahog`), a trade name that the source lists
 *                 (`hard maple`), a botanical name (`Quercus alba`) or genus; the case
 * of ASCII letters, commas, hyphens and blanks are ignored room          how many
 * found[] has room for; 0 with found NULL counts only found[room]   out: the first
 * `room` of them
 *
 * Returns how many there are, which may be more than room: 0 none, 1 it is that one,
 * more: the text does not say which.  The first of these rules that finds any decides:
 *
 *   1  all words of the common or of the botanical name, or a trade name
 *   2  all words of what it is, before the comma (`ash`)
 *   3  every word of the text is a word of the name, common or botanical (`Quercus`)
 *   4  every word of the text begins a word of it
 *
 * so `red oak` is the wood sold as red oak, and `cherry` does not bring up jatoba.
 * Text of more than 63 bytes or with no letter finds none.
 */
BT_API size_t bt_species_find(const char *text, size_t length, size_t room,
                              const struct bt_species *found[]);

/*
 * Where bt_species_find finds none: the species whose names are nearest to the text as
 * it would be misspelt (bt_nearest), at most room of them, the nearest first, none by
 * more than one letter farther than that; of one word a third of the letters may be
 * others, of more half of them.  Returns how many there are, 0 where nothing
 * is near.
 */
BT_API size_t bt_species_near(const char *text, size_t length, size_t room,
                              const struct bt_species *found[]);

#endif
