/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <cjson/cJSON.h>
#include <criterion/criterion.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "app/program.h"

/*
 * The examples of README.md and docs/, run.  What a fence of three backticks holds is
 * said behind them:
 *
 *     csv NAME, ini NAME   a file; NAME may have one folder in it
 *     console              lines `$ benchtrue ...`, each with all that it prints below
 *                          it, stderr first; a line `...` stands for any lines
 *     sh                   commands that are shown without what they print: lines that
 *                          begin with `benchtrue` must be understood (no status 64 or
 *                          70), others are not run
 *
 * Each document has a folder of its own, with sample-data in it; later fences find the
 * files of earlier ones.
 */

static const char *const documents[] = {"README.md", "docs/files.md", "docs/json.md",
                                        "docs/methods.md"};
enum { DOCUMENTS = sizeof documents / sizeof *documents, LINE = 512 };

static char *text_of(const char *document)
{
    char path[LINE], *text = calloc(1, 1 << 18);
    ssize_t n = 0, got;
    int file;

    cr_assert_not_null(text);
    snprintf(path, sizeof path, "%s/../%s", BT_SAMPLE_DIR, document);
    file = open(path, O_RDONLY);
    cr_assert_geq(file, 0, "%s", path);
    while ((got = read(file, text + n, (size_t)((1 << 18) - 1 - n))) > 0)
        n += got;
    close(file);
    return text;
}

/* A fence: what stands behind its backticks, and its text; both in one allocation. */
struct fence {
    char *info, *body;
};

/* The next line that begins with a fence, blanks before it allowed; NULL: none. */
static char *fence_line(char *at)
{
    while (at) {
        if (strncmp(at + strspn(at, " "), "```", 3) == 0)
            return at;
        at = strchr(at, '\n');
        at = at ? at + 1 : NULL;
    }
    return NULL;
}

/* The next fence at *at, cut out in place; *at moves behind it.  False: no more. */
static bool next_fence(char **at, struct fence *fence)
{
    char *open = fence_line(*at), *close;

    if (!open)
        return false;
    fence->info = strstr(open, "```") + 3;
    fence->body = strchr(fence->info, '\n');
    cr_assert_not_null(fence->body);
    *fence->body++ = '\0';
    close = fence_line(fence->body);
    cr_assert_not_null(close, "a fence that does not end: %s", fence->info);
    *at = strstr(close, "```") + 3;
    *close = '\0';
    return true;
}

static void write_example(const char *folder, const char *name, const char *body)
{
    const char *slash = strchr(name, '/');
    char path[LINE];

    if (slash) {
        snprintf(path, sizeof path, "%s/%.*s", folder, (int)(slash - name), name);
        mkdir(path, 0777);
    }
    put_file(folder, name, body);
}

/* Does what was printed match what is shown?  A shown line `...` matches any lines. */
static bool matches(const char *shown, const char *printed)
{
    if (strncmp(shown, "...\n", 4) == 0) {
        for (;; printed++) {
            if (matches(shown + 4, printed))
                return true;
            printed = strchr(printed, '\n');
            if (!printed)
                return false;
        }
    }
    for (; *shown && *shown == *printed; shown++, printed++)
        if (*shown == '\n')
            return matches(shown + 1, printed + 1);
    return *shown == *printed;
}

static struct outcome run_line(const char *folder, const char *line)
{
    const struct conditions there = {.folder = folder};

    cr_assert_eq(strncmp(line, "benchtrue ", 10), 0, "no command to run: %s", line);
    return run_under(line + 10, &there);
}

/* `$ benchtrue ...` and what it prints, again and again. */
static size_t run_console(const char *document, const char *folder, char *body)
{
    size_t commands = 0;

    while (*body) {
        char *end = strchr(body, '\n'), *next, *shown, printed[1 << 16];
        struct outcome got;

        cr_assert(strncmp(body, "$ ", 2) == 0 && end, "%s: no command: %s", document,
                  body);
        *end = '\0';
        next = end + 1;
        while (*next && strncmp(next, "$ ", 2) != 0) {
            next = strchr(next, '\n');
            cr_assert_not_null(next);
            next++;
        }
        got = run_line(folder, body + 2);
        snprintf(printed, sizeof printed, "%s%s", got.err, got.out);
        shown = strndup(end + 1, (size_t)(next - end - 1));
        cr_assert_not_null(shown);
        cr_expect(matches(shown, printed), "%s: '%s' prints\n%s\nnot\n%s", document,
                  body + 2, printed, shown);
        free(shown);
        outcome_clear(&got);
        commands++;
        body = next;
    }
    return commands;
}

static size_t run_shell(const char *document, const char *folder, char *body)
{
    size_t commands = 0;
    char *rest = NULL;

    for (char *line = strtok_r(body, "\n", &rest); line;
         line = strtok_r(NULL, "\n", &rest)) {
        char *comment = strstr(line, " #");
        struct outcome got;

        line += strspn(line, " ");
        if (strncmp(line, "benchtrue ", 10) != 0)
            continue;
        if (comment)
            *comment = '\0';
        got = run_line(folder, line);
        cr_expect(got.code >= 0 && got.code != 64 && got.code != 70,
                  "%s: '%s' ends with %d: %s", document, line, got.code, got.err);
        outcome_clear(&got);
        commands++;
    }
    return commands;
}

/* Returns how many commands were run. */
static size_t run_document(const char *document)
{
    char folder[64], *text = text_of(document), *at = text, link[LINE];
    struct fence fence;
    size_t commands = 0;

    new_folder(folder);
    snprintf(link, sizeof link, "%s/sample-data", folder);
    cr_assert_eq(symlink(BT_SAMPLE_DIR, link), 0);
    while (next_fence(&at, &fence)) {
        if (strncmp(fence.info, "csv ", 4) == 0 || strncmp(fence.info, "ini ", 4) == 0)
            write_example(folder, fence.info + 4, fence.body);
        else if (strcmp(fence.info, "console") == 0)
            commands += run_console(document, folder, fence.body);
        else if (strcmp(fence.info, "sh") == 0)
            commands += run_shell(document, folder, fence.body);
    }
    remove_folder(folder);
    free(text);
    return commands;
}

Test(docs, every_command_shown_prints_what_is_shown)
{
    static const size_t least[DOCUMENTS] = {4, 10, 1, 1};

    for (size_t i = 0; i < DOCUMENTS; i++) {
        size_t commands = run_document(documents[i]);

        /* So that a changed mark does not switch the examples off. */
        cr_expect(commands >= least[i], "%s: %zu commands found, at least %zu expected",
                  documents[i], commands, least[i]);
    }
}

Test(docs, the_verdict_at_the_top_of_the_readme_is_that_of_the_sample)
{
    char *text = text_of("README.md"), *at = text;
    struct fence fence;
    struct outcome got;

    cr_assert(next_fence(&at, &fence));
    got = run("flatness " BT_SAMPLE_DIR "/reading-room-table --set 'after glue-up'");
    cr_expect_eq(got.code, 1);
    cr_expect(strncmp(got.out, fence.body, strlen(fence.body)) == 0, "%s", fence.body);
    cr_expect(strlen(fence.body) > 20);
    outcome_clear(&got);
    free(text);
}

/* ---- docs/json.md ---- */

enum { PATHS = 2048 };

/* Paths of keys: `form.bow_mm.value`, `limits[].name`. */
struct paths {
    size_t n;
    char path[PATHS][96];
};

static void add_path(struct paths *paths, const char *path, size_t length)
{
    for (size_t i = 0; i < paths->n; i++)
        if (strlen(paths->path[i]) == length &&
            memcmp(paths->path[i], path, length) == 0)
            return;
    cr_assert(paths->n < PATHS && length < 96);
    memcpy(paths->path[paths->n], path, length);
    paths->path[paths->n++][length] = '\0';
}

static bool has_path(const struct paths *paths, const char *path)
{
    for (size_t i = 0; i < paths->n; i++)
        if (strcmp(paths->path[i], path) == 0)
            return true;
    return false;
}

static void walk(struct paths *paths, const cJSON *item, const char *path)
{
    const cJSON *child;
    char below[96];

    cJSON_ArrayForEach(child, item)
    {
        if (cJSON_IsArray(item))
            snprintf(below, sizeof below, "%s[]", path);
        else
            snprintf(below, sizeof below, "%s%s%s", path, *path ? "." : "",
                     child->string);
        if (!cJSON_IsArray(item))
            add_path(paths, below, strlen(below));
        walk(paths, child, below);
    }
}

static bool has_earlier(const struct paths *paths, size_t n, const char *path)
{
    for (size_t i = 0; i < n; i++)
        if (strcmp(paths->path[i], path) == 0)
            return true;
    return false;
}

/* A Q and a QL are documented once: their members are left out, or, of a QL, looked for
 * under their own name. */
static void drop_members(struct paths *paths)
{
    static const char *const of_ql[] = {".interval95_mm", ".noise_alone_mm",
                                        ".draws",         ".interval_asked_mm",
                                        ".confidence",    ".draws_enough"};
    size_t kept = 0;

    for (size_t i = 0; i < paths->n; i++) {
        const char *dot = strrchr(paths->path[i], '.');
        char above[96];

        snprintf(above, sizeof above, "%.*s", dot ? (int)(dot - paths->path[i]) : 0,
                 paths->path[i]);
        if (dot && (strcmp(dot, ".u") == 0 || strcmp(dot, ".seen") == 0 ||
                    strcmp(dot, ".value") == 0))
            continue;
        for (size_t k = 0; k < sizeof of_ql / sizeof *of_ql; k++)
            if (dot && strcmp(dot, of_ql[k]) == 0)
                memmove(paths->path[i], dot + 1, strlen(dot));
        if (!has_earlier(paths, kept, paths->path[i]))
            memmove(paths->path[kept++], paths->path[i], sizeof paths->path[i]);
    }
    paths->n = kept;
}

static void walk_run(struct paths *paths, const char *args)
{
    struct outcome got = run(args);
    cJSON *json = cJSON_Parse(got.out);

    cr_assert_not_null(json, "%s: %s", args, got.err);
    walk(paths, json, "");
    cJSON_Delete(json);
    outcome_clear(&got);
}

/* First cells of the tables that begin with a key between backticks. */
static void read_documented(struct paths *paths)
{
    char *text = text_of("docs/json.md");

    for (char *at = text; (at = strstr(at, "\n| `")); at += 4) {
        const char *end = strchr(at + 4, '`');
        cr_assert_not_null(end);
        add_path(paths, at + 4, (size_t)(end - at - 4));
    }
    free(text);
}

/* Readings of every kind; a slope and a gap that do not fit. */
static const char kinds_csv[] = "line,x_mm,y_mm,gap_mm,u_mm\n"
                                "a,0,0,0,0.01\na,100,0,9,0.01\na,200,0,0,0.01\n"
                                "a,300,0,0,0.01\n"
                                "b,0,0,0,0.01\nb,100,0,0,0.01\nb,200,0,0,0.01\n"
                                "b,300,0,0,0.01\n"
                                "c,0,50,0,0.01\nc,100,50,0,0.01\nc,200,50,0,0.01\n";
static const char slopes_csv[] = "x1_mm,y1_mm,x2_mm,y2_mm,slope_mm_per_m,u_mm_per_m\n"
                                 "0,0,100,0,0,0.1\n0,0,100,0,0,0.1\n0,0,100,0,9,0.1\n"
                                 "0,0,0,50,0,0.1\n";
static const char bars_csv[] =
    "foot1_x_mm,foot1_y_mm,dial_x_mm,dial_y_mm,foot2_x_mm,foot2_y_mm,rise_mm\n"
    "0,0,100,0,200,0,0.1\n0,50,100,50,200,50,0.1\n";
static const char sticks_csv[] = "x1_mm,x2_mm,y1_mm,y2_mm,stick_mm,wind_mm\n"
                                 "0,200,0,50,400,0.1\n";
/* Two lines lengthwise, two across, and one that meets them at one place. */
static const char loose_csv[] =
    "line,x_mm,y_mm,gap_mm\n"
    "a,0,0,0\na,100,0,1\na,200,0,0\nb,0,50,0\nb,100,50,1\nb,200,50,0\n"
    "c,0,0,0\nc,0,25,0\nc,0,50,0\nd,200,0,0\nd,200,25,0\nd,200,50,0\n"
    "e,0,0,0\ne,40,20,0\ne,80,40,0\n";
/* One height far off. */
static const char scan_csv[] = "x_mm,y_mm,z_mm\n0,0,0\n100,0,0\n200,0,0\n"
                               "0,50,0\n100,50,90\n200,50,0\n"
                               "0,100,0\n100,100,0\n200,100,0\n";

/* A board that is too short for a jointer. */
static const char short_ini[] = "[job]\nunits = mm\n[panel]\nlength = 250\n"
                                "width = 200\nthickness = 20\nspecies = cherry\n";
static const char short_boards_csv[] = "board,width_mm\na,100\nb,100\n";

/* A rough board cut and ripped whose twist was not read, too short for a machine. */
static const char stock_csv[] =
    "board,length_mm,width_mm,thickness_mm,cup_mm,bow_mm,cut_mm,rip_mm,nominal\n"
    "a,900,150,34,1,2,200,70,5/4\n";

static void walk_stock(struct paths *printed, const char *folder)
{
    char args[LINE];

    put_file(folder, "job.ini", short_ini);
    put_file(folder, "stock.csv", stock_csv);
    snprintf(args, sizeof args, "stock %s --json", folder);
    walk_run(printed, args);
    walk_run(printed, "stock " BT_SAMPLE_DIR "/reading-room-table --json");
}

/* fence, edges and glueup. */
static void walk_joints(struct paths *printed, const char *folder)
{
    static const char *const verbs[] = {"fence", "edges", "glueup"};
    char args[LINE];

    put_file(folder, "job.ini", short_ini);
    put_file(folder, "boards.csv", short_boards_csv);
    snprintf(args, sizeof args, "edges %s --json", folder);
    walk_run(printed, args);
    for (size_t i = 0; i < sizeof verbs / sizeof *verbs; i++) {
        snprintf(args, sizeof args, "%s %s/reading-room-table --json", verbs[i],
                 BT_SAMPLE_DIR);
        walk_run(printed, args);
    }
}

/* layout: the sample; where nothing keeps the rules; where one that is given up saves
 * wood. */
static void walk_layout(struct paths *printed, const char *folder)
{
    static const char *const rules[] = {"clear = 60 +- 55\norder = as listed\n",
                                        "narrowest = 0\nclear = 100 +- 30\n"};
    char args[LINE], ini[LINE];

    walk_run(printed, "layout " BT_SAMPLE_DIR "/reading-room-table --json");
    put_file(folder, "boards.csv", "board,width_mm\na,100\nb,100\nc,160\n");
    for (size_t i = 0; i < sizeof rules / sizeof *rules; i++) {
        snprintf(ini, sizeof ini,
                 "[job]\nunits = mm\n[panel]\nlength = 900\nwidth = 190\n"
                 "[layout]\n%s",
                 rules[i]);
        put_file(folder, "job.ini", ini);
        snprintf(args, sizeof args, "layout %s --json", folder);
        walk_run(printed, args);
    }
}

/* An opening whose diagonals contradict each other, and from which a piece goes
 * straight out. */
static void walk_opening(struct paths *printed, const char *folder)
{
    char args[LINE];

    put_file(folder, "job.ini", "[job]\nunits = mm\n");
    put_file(folder, "opening.csv",
             "kind,where,reading,u_mm\nside,back,1200,1\nside,right,500,1\n"
             "side,front,1210,1\nside,left,500,1\ndiagonal,AC,1305,1\n"
             "diagonal,BD,1325,1\n");
    snprintf(args, sizeof args, "opening %s --json", folder);
    walk_run(printed, args);
}

/* Verdicts at another confidence than 95 %. */
static void walk_confidence(struct paths *printed, const char *folder)
{
    char args[LINE];

    put_file(folder, "job.ini",
             "[job]\nunits = mm\n[panel]\nlength = 200\nwidth = 50\n"
             "[limits]\nzone = 2\nconfidence = 99 %\n"
             "[readings one]\nfiles = readings.csv\n");
    put_file(folder, "readings.csv", loose_csv);
    snprintf(args, sizeof args, "flatness %s --json", folder);
    walk_run(printed, args);
}

Test(docs, json_md_lists_the_keys_that_are_printed_and_no_others)
{
    static const char *const readings[] = {kinds_csv,  slopes_csv, bars_csv,
                                           sticks_csv, loose_csv,  scan_csv};
    static struct paths printed, documented;
    char folder[64], args[LINE];

    new_folder(folder);
    for (size_t i = 0; i < sizeof readings / sizeof *readings; i++) {
        put_file(folder, "readings.csv", readings[i]);
        snprintf(args, sizeof args, "flatness %s/readings.csv --json", folder);
        walk_run(&printed, args);
    }
    walk_joints(&printed, folder);
    walk_stock(&printed, folder);
    walk_confidence(&printed, folder);
    walk_layout(&printed, folder);
    walk_opening(&printed, folder);
    remove_folder(folder);
    walk_run(&printed, "flatness " BT_SAMPLE_DIR "/readings-grid.csv --json");
    walk_run(&printed, "flatness " BT_SAMPLE_DIR "/reading-room-table --json "
                       "--direction 30");
    walk_run(&printed, "flatness " BT_SAMPLE_DIR "/reading-room-table --json "
                       "--set 'after glue-up'");
    walk_run(&printed, "measure " BT_SAMPLE_DIR "/reading-room-table --json --afresh");
    walk_run(&printed, "decide " BT_SAMPLE_DIR "/reading-room-table --json "
                       "--set 'after glue-up'");
    walk_run(&printed, "movement " BT_SAMPLE_DIR "/reading-room-table --json");
    walk_run(&printed, "movement " BT_SAMPLE_DIR "/oak-window-seat --json");
    walk_run(&printed, "opening " BT_SAMPLE_DIR "/oak-window-seat --json");
    walk_run(&printed, "trend " BT_SAMPLE_DIR "/cherry-shelf --json "
                       "--since 2026-04-24");
    drop_members(&printed);
    read_documented(&documented);
    for (size_t i = 0; i < printed.n; i++)
        cr_expect(has_path(&documented, printed.path[i]), "'%s' is not in docs/json.md",
                  printed.path[i]);
    for (size_t i = 0; i < documented.n; i++)
        cr_expect(has_path(&printed, documented.path[i]), "no output has '%s'",
                  documented.path[i]);
    cr_expect_geq(documented.n, 50);
}
