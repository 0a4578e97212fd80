/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "app/figures.h"

#include <string.h>

#include "app/say.h"
#include "benchtrue/draw/figure.h"
#include "benchtrue/report/save.h"

enum { FIGURES = 2 };

/* What can be drawn, and how. */
struct figure {
    const char *option, *path;
    enum bt_status (*make)(const struct bt_figure_input *, enum bt_figure_format,
                           struct bt_figure_bytes *, struct bt_error *);
    enum bt_figure_format format;
    struct bt_figure_bytes bytes;
};

static void list_figures(const struct options *options, struct figure figure[FIGURES])
{
    figure[0] = (struct figure){
        .option = "--figure", .path = options->figure, .make = bt_figure_map};
    figure[1] = (struct figure){.option = "--figure-lines",
                                .path = options->figure_lines,
                                .make = bt_figure_lines};
}

enum exit_code check_figures(const struct options *options)
{
    struct figure figure[FIGURES];
    struct bt_error err;

    list_figures(options, figure);
    for (size_t i = 0; i < FIGURES; i++)
        if (figure[i].path &&
            bt_figure_format_of(figure[i].path, &figure[i].format, &err) != BT_OK)
            return say(EXIT_USAGE, "%s %s: %s", figure[i].option, figure[i].path,
                       err.message);
    if (options->figure && options->figure_lines &&
        strcmp(options->figure, options->figure_lines) == 0)
        return say(EXIT_USAGE, "--figure and --figure-lines need two files");
    return EXIT_DONE;
}

static enum exit_code draw(struct figure *figure, const struct bt_figure_input *input)
{
    struct bt_error err;
    enum bt_status status = bt_figure_format_of(figure->path, &figure->format, &err);

    if (status == BT_OK)
        status = figure->make(input, figure->format, &figure->bytes, &err);
    if (status != BT_OK)
        return say(exit_for(status), "%s: %s", figure->option, err.message);
    return EXIT_DONE;
}

static enum exit_code save(const struct figure *figure)
{
    struct bt_error err;
    enum bt_status status = bt_save_file(
        figure->path, (const char *)figure->bytes.bytes, figure->bytes.length, &err);

    return status == BT_OK ? EXIT_DONE : say_error(status, err.message);
}

enum exit_code write_figures(const struct options *options,
                             const struct bt_set_result *result)
{
    const struct bt_extremes *extremes = &result->extremes;
    struct bt_edge_result edge[BT_EDGES_MAX];
    struct bt_figure_input input = {
        .job = result->job,
        .set = result->set,
        .flatness = &result->flatness,
        .zone = extremes->zone_seen ? &extremes->zone : NULL,
        .edge = edge,
        .band = extremes->band,
    };
    struct figure figure[FIGURES];
    enum exit_code code = EXIT_DONE;

    for (size_t i = 0; i < extremes->nedge; i++)
        if (extremes->edge[i].gap.seen && extremes->edge[i].gap.value > 0)
            edge[input.nedge++] = extremes->edge[i].at;
    list_figures(options, figure);
    /* All are drawn before one is written: a fault leaves no file. */
    for (size_t i = 0; i < FIGURES && code == EXIT_DONE; i++)
        if (figure[i].path)
            code = draw(&figure[i], &input);
    for (size_t i = 0; i < FIGURES && code == EXIT_DONE; i++)
        if (figure[i].path)
            code = save(&figure[i]);
    for (size_t i = 0; i < FIGURES; i++)
        bt_figure_bytes_clear(&figure[i].bytes);
    if (options->figure || options->figure_lines)
        bt_figure_teardown();
    return code;
}
