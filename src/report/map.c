/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/map.h"

#include <math.h>
#include <string.h>

#include "report/words.h"

enum {
    COLUMNS = 61, /* inside the frame: with margins it fits 80 columns */
    ROWS_MIN = 5,
    ROWS_MAX = 23, /* with its legend it fits a terminal of 30 lines */
    LEVELS = 10
};

struct map {
    int rows;
    char cell[ROWS_MAX][COLUMNS];
    struct bt_rectangle frame;
    double step;      /* mm, height of one level */
    double base;      /* level 0 begins at base * step; a whole number */
    size_t high, low; /* points; n where none is seen */
    size_t hidden;
};

static void grow_frame(struct bt_rectangle *frame, const struct bt_point *p)
{
    if (!(frame->x0 <= p->x))
        frame->x0 = p->x;
    if (!(frame->x1 >= p->x))
        frame->x1 = p->x;
    if (!(frame->y0 <= p->y))
        frame->y0 = p->y;
    if (!(frame->y1 >= p->y))
        frame->y1 = p->y;
}

/* A character is about twice as high as it is wide.  An odd number, so that the middle
 * line of a panel has a row of its own and rounding does not part its places. */
static int rows_for(const struct bt_rectangle *frame)
{
    double wide = frame->x1 - frame->x0, deep = frame->y1 - frame->y0;
    double rows = wide > 0 ? COLUMNS * deep / wide / 2 : ROWS_MAX;

    if (!(rows >= ROWS_MIN))
        return ROWS_MIN;
    return rows > ROWS_MAX ? ROWS_MAX : (int)lround(rows) | 1;
}

static void find_extremes(struct map *map, size_t n, const double z[])
{
    map->high = map->low = n;
    for (size_t i = 0; i < n; i++) {
        if (isnan(z[i]))
            continue;
        if (map->high == n || z[i] > z[map->high])
            map->high = i;
        if (map->low == n || z[i] < z[map->low])
            map->low = i;
    }
}

/*
 * One level is 1, 2, 3 or 5 times a power of ten of the unit that the legend is
 * written in, the least that is not finer than the uncertainty and needs no more
 * than ten levels.
 */
static void choose_levels(struct map *map, double low, double high, double u,
                          enum bt_system system)
{
    static const double nice[] = {1, 2, 3, 5};
    double unit = system == BT_SYSTEM_MM ? 0.01 : 0.0254;

    for (int power = 0; power < 12; power++, unit *= 10) {
        for (size_t i = 0; i < sizeof nice / sizeof *nice; i++) {
            double step = nice[i] * unit;
            double base = floor(low / step);

            if (u > step || !(ceil(high / step) - base <= LEVELS))
                continue;
            map->step = step;
            map->base = base;
            return;
        }
    }
    map->step = (high - low) / (LEVELS - 1);
    map->base = floor(low / map->step);
}

static char level_of(const struct map *map, double z)
{
    double level;

    if (isnan(z))
        return '?';
    level = floor(z / map->step) - map->base;
    if (!(level > 0))
        return '0';
    return level > 9 ? '9' : (char)('0' + (int)level);
}

static int share(double at, double from, double to, int steps)
{
    return to > from ? (int)lround((at - from) / (to - from) * steps) : steps / 2;
}

/* Put a point where its three characters are free; count it as hidden elsewhere. */
static void place(struct map *map, const struct bt_point *p, double z, char before,
                  char after)
{
    int row = share(p->y, map->frame.y0, map->frame.y1, map->rows - 1);
    int column = 1 + share(p->x, map->frame.x0, map->frame.x1, COLUMNS - 3);
    char *cell = &map->cell[row][column];

    if (cell[-1] != ' ' || cell[0] != ' ' || cell[1] != ' ') {
        map->hidden++;
        return;
    }
    cell[-1] = before;
    cell[0] = level_of(map, z);
    cell[1] = after;
}

/*
 * The extremes first, then the points that lie far from the datum, so that of two
 * points on one cell the plainer one is left out.  Five passes of falling threshold
 * do for that what sorting would.
 */
static void place_all(struct map *map, size_t n, const struct bt_point p[],
                      const double z[])
{
    double most = 0;

    if (map->high < n) {
        most = fmax(fabs(z[map->high]), fabs(z[map->low]));
        place(map, &p[map->high], z[map->high], '[', ']');
        if (map->low != map->high)
            place(map, &p[map->low], z[map->low], '(', ')');
    }
    for (int pass = 4; pass >= 0; pass--) {
        for (size_t i = 0; i < n; i++) {
            double size = isnan(z[i]) ? 0 : fabs(z[i]);
            int mine = most > 0 ? (int)fmin(4, floor(5 * size / most)) : 0;

            if (mine == pass && i != map->high && i != map->low)
                place(map, &p[i], z[i], ' ', ' ');
        }
    }
}

static void add_border(struct bt_buffer *out, char left, char right, const char *word)
{
    size_t length = strlen(word), start = (COLUMNS - length) / 2;

    bt_buffer_format(out, "  %c", left);
    for (size_t i = 0; i < COLUMNS; i++) {
        if (i == start) {
            bt_buffer_text(out, word);
            i += length;
        }
        bt_buffer_text(out, "-");
    }
    bt_buffer_format(out, "%c\n", right);
}

static void add_frame(struct bt_buffer *out, const struct map *map)
{
    add_border(out, 'A', 'B', " back ");
    for (int row = 0; row < map->rows; row++) {
        bt_buffer_text(out, "  |");
        bt_buffer_add(out, map->cell[row], COLUMNS);
        bt_buffer_text(out, "|\n");
    }
    add_border(out, 'D', 'C', " front ");
}

static void add_height(struct bt_buffer *out, double z, double u, enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    bt_buffer_text(out, z > 0 ? "+" : "");
    bt_buffer_text(out, bt_print_length(text, z, u, system, BT_LENGTH_FEELER));
}

static void add_extreme(struct bt_buffer *out, const char *mark, const char *word,
                        const struct bt_point *p, double z, double u,
                        enum bt_system system)
{
    bt_buffer_format(out, "  %s %s: ", mark, word);
    add_height(out, z, u, system);
    bt_buffer_text(out, " at ");
    bt_words_place(out, p, system);
    bt_buffer_text(out, "\n");
}

static void add_legend(struct bt_buffer *out, const struct map *map, size_t n,
                       const struct bt_point p[], const double z[], double u,
                       enum bt_system system)
{
    char text[BT_PRINT_ROOM];

    if (map->high < n) {
        bt_buffer_text(out, "  Digits are levels, 0 lowest; one level is ");
        bt_buffer_text(out,
                       bt_print_length(text, map->step, 0, system, BT_LENGTH_FEELER));
        bt_buffer_text(out, ", 0 begins at ");
        add_height(out, map->base * map->step, 0, system);
        bt_buffer_text(out, ".\n");
        add_extreme(out, "[ ]", "highest", &p[map->high], z[map->high], u, system);
        add_extreme(out, "( )", "lowest", &p[map->low], z[map->low], u, system);
    }
    if (memchr(map->cell, '?', sizeof map->cell))
        bt_buffer_text(out, "  ? the height of this place is not seen.\n");
    if (map->hidden) {
        bt_buffer_text(out, "  ");
        bt_words_count(out, map->hidden, "place lies", "places lie");
        bt_buffer_text(out, " too close to another to be shown.\n");
    }
}

void bt_map_draw(struct bt_buffer *out, size_t n, const struct bt_point p[],
                 const double z[], const struct bt_rectangle *panel, double u,
                 enum bt_system system)
{
    struct map map = {.frame = *panel};

    if (n == 0)
        return;
    for (size_t i = 0; i < n; i++)
        grow_frame(&map.frame, &p[i]);
    map.rows = rows_for(&map.frame);
    memset(map.cell, ' ', sizeof map.cell);
    find_extremes(&map, n, z);
    if (map.high < n)
        choose_levels(&map, z[map.low], z[map.high], u, system);
    place_all(&map, n, p, z);
    add_frame(out, &map);
    add_legend(out, &map, n, p, z, u, system);
}
