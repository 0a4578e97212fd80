/* SPDX-License-Identifier: GPL-3.0-or-later */
/*
 * Files damaged at random, from a fixed seed: whatever comes out, it is either faults
 * with their places or a job that the analysis can take as it is.
 */
#include <criterion/criterion.h>

#include <dirent.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "jobdir.h"

enum { ROUNDS = 40, FILE_MOST = 8000 };

static uint64_t next(uint64_t *state)
{
    *state = *state * 6364136223846793005u + 1442695040888963407u;
    return *state >> 33;
}

static size_t slurp(const char *path, char text[FILE_MOST])
{
    FILE *file = fopen(path, "rb");
    size_t n;

    cr_assert_not_null(file, "%s", path);
    n = fread(text, 1, FILE_MOST - 100, file);
    fclose(file);
    return n;
}

/* Change, leave out or put in up to three pieces. */
static size_t damage(char text[FILE_MOST], size_t n, uint64_t *state)
{
    static const char *const pieces[] = {
        ",",     "\n",  "\"", "..",    "-",   "1e308",    "0",  " ", "@mm", "x",
        "1/0",   "<",   "=",  "[",     "]",   "\xC3\xA9", "\t", ";", "nan", "17 7/8",
        "9e-99", "A,B", "#",  "1e300", "mm/", "99999999", "'",  "+", "A",   "in"};

    for (int k = 0; k < 3; k++) {
        const char *piece = pieces[next(state) % (sizeof pieces / sizeof *pieces)];
        size_t at = n ? next(state) % n : 0, length = strlen(piece);
        switch (next(state) % 3) {
        case 0:
            memmove(text + at + length, text + at, n - at);
            memcpy(text + at, piece, length);
            n += length;
            break;
        case 1:
            length = next(state) % 4 < n - at ? next(state) % 4 : 0;
            if (length > n - at)
                length = 0;
            memmove(text + at, text + at + length, n - at - length);
            n -= length;
            break;
        default:
            if (n)
                text[at] = *piece;
        }
    }
    return n;
}

static void expect_usable(const struct bt_set *set, const char *from)
{
    const struct bt_readings *r = &set->readings;
    size_t kinds = 0, origins = 0;

    for (int k = 0; k < BT_READ_KINDS; k++)
        kinds += set->kinds[k];
    for (int k = 0; k < BT_U_ORIGINS; k++)
        origins += set->u_origin[k];
    cr_assert_eq(kinds, r->scan ? r->npoint : r->nobs, "%s", from);
    cr_assert_eq(origins, kinds, "%s", from);
    if (r->scan) {
        cr_assert(r->nobs == 0 && r->scan_u > 0 && isfinite(r->scan_u), "%s", from);
        for (size_t i = 0; i < r->npoint; i++)
            cr_assert(isfinite(r->scan[i]) && bt_set_source(set, i).line > 0, "%s",
                      from);
    }
    for (size_t i = 0; i < r->npoint; i++)
        cr_assert(isfinite(r->point[i].x) && isfinite(r->point[i].y), "%s", from);
    for (size_t i = 0; i < r->nobs; i++) {
        const struct bt_obs *obs = &r->obs[i];
        cr_assert(isfinite(obs->value) && obs->u > 0 && isfinite(obs->u), "%s", from);
        cr_assert(obs->edge >= -1 && obs->edge <= 1, "%s", from);
        cr_assert(obs->group == BT_NO_GROUP || (size_t)obs->group < r->ngroup, "%s",
                  from);
        cr_assert(set->source[i].file < set->nfile && set->source[i].line > 0);
        for (int k = 0; k < obs->npoint; k++) {
            cr_assert(obs->point[k] < r->npoint && isfinite(obs->coef[k]), "%s", from);
            for (int j = 0; j < k; j++)
                cr_assert_neq(obs->point[k], obs->point[j], "%s", from);
        }
    }
}

static void load_damaged(const char *path, const char *from)
{
    struct bt_job job;
    struct bt_faults faults = {0};
    enum bt_status status = bt_job_load(path, NULL, &job, &faults);

    if (status == BT_OK) {
        cr_expect_eq(faults.n, 0, "%s", from);
        for (size_t i = 0; i < job.nset; i++)
            expect_usable(&job.set[i], from);
    } else {
        cr_expect(faults.n > 0, "%s", from);
        for (size_t i = 0; i < faults.n; i++)
            cr_expect(*faults.item[i].file && *faults.item[i].message, "%s", from);
    }
    bt_job_clear(&job);
    bt_faults_clear(&faults);
}

static void write_bytes(const struct jobdir *dir, const char *name, const char *text,
                        size_t n)
{
    char path[200];
    FILE *file;

    snprintf(path, sizeof path, "%s/%s", dir->path, name);
    file = fopen(path, "wb");
    cr_assert_not_null(file);
    cr_assert_eq(fwrite(text, 1, n, file), n);
    fclose(file);
}

/* Each readings file of tests/bad (most of them nearly right) and the paper grid. */
Test(job_damage, of_readings_files_gives_faults_or_usable_readings, .timeout = 300)
{
    static char text[FILE_MOST], hurt[FILE_MOST];
    DIR *folder = opendir(BT_TESTS_DIR "/bad/readings");
    const struct dirent *entry;
    struct jobdir dir;
    char path[600];
    uint64_t state = 1;

    cr_assert_not_null(folder);
    jobdir_make(&dir);
    while ((entry = readdir(folder))) {
        size_t n;
        if (entry->d_name[0] == '.')
            continue;
        snprintf(path, sizeof path, "%s/bad/readings/%s", BT_TESTS_DIR, entry->d_name);
        n = slurp(path, text);
        snprintf(path, sizeof path, "%s/hurt.csv", dir.path);
        for (int round = 0; round < ROUNDS; round++) {
            memcpy(hurt, text, n);
            write_bytes(&dir, "hurt.csv", hurt, damage(hurt, n, &state));
            load_damaged(path, entry->d_name);
        }
    }
    closedir(folder);
    jobdir_remove(&dir);
}

/* Each file of the sample job in turn, the others whole. */
Test(job_damage, of_a_job_gives_faults_or_usable_readings, .timeout = 300)
{
    static const char *const names[] = {"job.ini", "lines.csv", "boards.csv",
                                        "after-glue-up.csv", "after-light-pass.csv"};
    enum { FILES = sizeof names / sizeof *names };
    static char text[FILES][FILE_MOST], hurt[FILE_MOST];
    size_t length[FILES];
    struct jobdir dir;
    char path[600];
    uint64_t state = 2;

    jobdir_make(&dir);
    for (int i = 0; i < FILES; i++) {
        snprintf(path, sizeof path, "%s/reading-room-table/%s", BT_SAMPLE_DIR,
                 names[i]);
        length[i] = slurp(path, text[i]);
        write_bytes(&dir, names[i], text[i], length[i]);
    }
    for (int i = 0; i < FILES; i++) {
        for (int round = 0; round < 10 * ROUNDS; round++) {
            memcpy(hurt, text[i], length[i]);
            write_bytes(&dir, names[i], hurt, damage(hurt, length[i], &state));
            load_damaged(dir.path, names[i]);
        }
        write_bytes(&dir, names[i], text[i], length[i]);
    }
    jobdir_remove(&dir);
}
