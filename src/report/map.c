/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "benchtrue/report/map.h"

#include <math.h>
#include <string.h>

#include "benchtrue/draw/levels.h"
#include "report/words.h"

enum {
    COLUMNS = 61, /* inside the frame: with margins it fits 80 columns */
    ROWS_MIN = 5,
    ROWS_MAX = 23, /* with its legend it fits a terminal of 30 lines */
};

struct map {
    int rows;
    char cell[ROWS_MAX][COLUMNS];
    struct bt_rectangle frame;
    struct bt_levels levels;
    size_t high, low; /* points; n where none is seen */
    size_t hidden;
    bool dense; /* more points than characters */
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

static char level_of(const struct map *map, double z)
{
    const int band = bt_levels_band(&map->levels, z);

    return band < 0 ? '?' : (char)('0' + band);
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

/* Heights that fall on one character. */
struct pile {
    size_t seen, unseen;
    double sum;
};

static void mark(struct map *map, const struct bt_point *p, double z, char before,
                 char after)
{
    int row = share(p->y, map->frame.y0, map->frame.y1, map->rows - 1);
    int column = 1 + share(p->x, map->frame.x0, map->frame.x1, COLUMNS - 3);
    char *cell = &map->cell[row][column];

    cell[-1] = before;
    cell[0] = level_of(map, z);
    cell[1] = after;
}

static double per_step(double from, double to, int steps)
{
    return to > from ? steps / (to - from) : 0;
}

/* The heights that fall on each character. */
static void average(const struct map *map, size_t n, const struct bt_point p[],
                    const double z[], struct pile pile[ROWS_MAX][COLUMNS])
{
    const double columns = per_step(map->frame.x0, map->frame.x1, COLUMNS - 1);
    const double rows = per_step(map->frame.y0, map->frame.y1, map->rows - 1);

    for (size_t i = 0; i < n; i++) {
        int row = (int)((p[i].y - map->frame.y0) * rows + 0.5);
        int column = (int)((p[i].x - map->frame.x0) * columns + 0.5);
        struct pile *on = &pile[row][column];
        if (isnan(z[i])) {
            on->unseen++;
        } else {
            on->seen++;
            on->sum += z[i];
        }
    }
}

/*
 * Every character shows the mean of the heights that fall on it.  The levels are those
 * of the means: one height far off would leave a single level to all others.
 */
static void fill_all(struct map *map, size_t n, const struct bt_point p[],
                     const double z[], double u, enum bt_system system)
{
    struct pile pile[ROWS_MAX][COLUMNS] = {{{0, 0, 0}}};
    double low = HUGE_VAL, high = -HUGE_VAL;

    average(map, n, p, z, pile);
    for (int row = 0; row < map->rows; row++)
        for (int column = 0; column < COLUMNS; column++) {
            const struct pile *on = &pile[row][column];
            double mean = on->sum / (double)on->seen;
            low = mean < low ? mean : low;
            high = mean > high ? mean : high;
        }
    bt_levels_choose(low <= high ? low : NAN, high, u, system, &map->levels);
    for (int row = 0; row < map->rows; row++)
        for (int column = 0; column < COLUMNS; column++) {
            const struct pile *on = &pile[row][column];
            if (on->seen + on->unseen > 0)
                map->cell[row][column] =
                    level_of(map, on->seen ? on->sum / (double)on->seen : NAN);
        }
    if (map->high == n)
        return;
    mark(map, &p[map->high], z[map->high], '[', ']');
    if (map->low != map->high)
        mark(map, &p[map->low], z[map->low], '(', ')');
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
        bt_buffer_text(
            out, bt_print_length(text, map->levels.step, 0, system, BT_LENGTH_FEELER));
        bt_buffer_text(out, ", 0 begins at ");
        add_height(out, map->levels.base * map->levels.step, 0, system);
        bt_buffer_text(out, ".\n");
        if (map->dense)
            bt_buffer_text(out, "  Each digit is the mean of the heights around it.\n");
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
        bt_levels_choose(z[map.low], z[map.high], u, system, &map.levels);
    map.dense = n > (size_t)map.rows * COLUMNS;
    if (map.dense)
        fill_all(&map, n, p, z, u, system);
    else
        place_all(&map, n, p, z);
    add_frame(out, &map);
    add_legend(out, &map, n, p, z, u, system);
}
