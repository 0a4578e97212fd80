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

/* What fence, edges and glueup are given. */
static void expect_checks_usable(const struct bt_job *job, const char *from)
{
    const struct bt_fence_setup *fence = &job->fence;

    for (size_t i = 0; i < fence->ncheck; i++) {
        double e, u;
        bt_fence_check_error(&fence->check[i], &e, &u);
        cr_assert(fabs(e) <= BT_FENCE_MOST_ERROR && u > 0 && isfinite(u), "%s", from);
        cr_assert(fence->check[i].u_own >= 0, "%s", from);
        cr_assert(!(fence->check[i].station > fence->length), "%s", from);
    }
    for (size_t i = 0; i < job->ndry_fit; i++) {
        const struct bt_dry_fit *fit = &job->dry_fit[i];
        cr_assert(fit->joint + 1 < job->nboard && fit->ngap > 0, "%s", from);
        for (size_t k = 0; k < fit->ngap; k++) {
            cr_assert(fit->gap[k].at >= 0 && !(fit->gap[k].at > fit->length), "%s",
                      from);
            cr_assert(fit->gap[k].gap >= 0 && fit->gap[k].u > 0, "%s", from);
        }
    }
    for (size_t i = 0; i < job->fixing.n; i++) {
        const struct bt_fixing *f = &job->fixing.fixing[i];
        cr_assert(isfinite(f->x) && isfinite(f->y), "%s", from);
        cr_assert(!(f->slot < f->screw) && !(f->travel < 0), "%s", from);
        cr_assert(f->kind < BT_FIXING_KINDS && f->into < BT_INTO_KINDS, "%s", from);
    }
    for (size_t i = 0; i < job->layout.nclear; i++)
        cr_assert(job->layout.clear[i].y >= 0 && job->layout.clear[i].within > 0, "%s",
                  from);
    for (size_t i = 0; i < job->layout.ncutout; i++) {
        const struct bt_cutout *c = &job->layout.cutout[i];
        cr_assert(isfinite(c->x) && isfinite(c->y), "%s", from);
        cr_assert(c->length > 0 && c->width > 0 && c->shape < BT_CUT_SHAPES, "%s",
                  from);
    }
    for (size_t i = 0; i < job->nclamp; i++)
        cr_assert(job->clamp[i].kind.count >= 1 && job->clamp[i].kind.count <= 1000,
                  "%s", from);
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
        expect_checks_usable(&job, from);
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

/* Each file of a glue-up in turn, the others whole. */
Test(job_damage, of_a_glue_up_gives_faults_or_usable_checks, .timeout = 300)
{
    static const struct {
        const char *name, *text;
    } files[] = {
        {"job.ini", "[job]\nunits = mm\n[panel]\nlength = 1200\nwidth = 300\n"
                    "[fence]\nlength = 900\nheight = 100\ncutter = 450\n"
                    "pattern = best\nscatter = 0.05 deg\n[glue]\nopen_time = 5 min\n"
                    "joints = 2\n[layout]\ntrim = equal\nclear = 90 +- 5, 4 in +- 1/2 "
                    "in\n[clamp bar]\ncount = 6\nforce = 3 kN\n"
                    "[instrument sq]\nkind = square\nu = 0.2 mm/m\n"
                    "[stock]\nallowance = 0.5\nplaner_width = 330\n"},
        {"boards.csv",
         "board,width,grain,show,fence,against_grain\n1,100,left,up,in,no\n"
         "2,100,right,either,in/out,\n3,100,,,,yes\n"},
        {"fence.csv", "kind,station,height,gap,open_at,width,hollow_at,reading_deg,"
                      "turned_deg,u_mm,u_deg\nsquare,100,95,0.1..0.15,top,,,,,,\n"
                      "square,500,95,0.10,bottom,,,,,0.02,\n"
                      "doubled,,,0.2..0.25,,80,fence face,,,,\n"
                      "angle,800,,,,,,90.2,89.9,,0.1\n"},
        {"dryfit.csv", "joint,at,show_gap,other_gap,u_mm\n1,0,0.05..0.1,0,\n"
                       "1|2,600,0.1,<0.05,0.02\n2-3,1200,0,1/64 in,\n"},
        {"cutouts.csv", "name,shape,x,y,length,width,diameter,radius,from,end\n"
                        "port,circle,90,80,,,50,,front,right\n"
                        "basin,rectangle,600,150,300,120,,20,,\n"
                        "pipe,notch,300,295,60,30,,,,\n"},
        {"opening.csv", "kind,where,at,reading,angle_deg,x,y,u_mm,u_deg\n"
                        "side,back,,1200,,,,0.5,\ndiagonal,BD,,1300.5,,,,,\n"
                        "width,,250,1199,,,,,\nangle,A,,,89.5,,,,0.2\n"
                        "offset,left,0,-2,,,,,\npoint,back,,,,12,3,1,\n"},
        {"fixings.csv", "x,y,kind,direction,slot,screw,travel,into,washer\n"
                        "50,60,slot,30 deg,14,5,,plywood,yes\n"
                        "50,150,round hole,,,5,,solid wood,no\n"
                        "50,240,clip,,,4,8,mdf,\n"},
        {"stock.csv", "board,length,width,thickness,cup,bow,twist,species,moisture,"
                      "nominal,cut,pieces,rip,u_mm\n"
                      "1,2400,150,33.5,1,1/4 in,2,ash,9,5/4,790,3,70,0.3\n"
                      "2,2400,150,34,0,5,2,,,4/4,,,,\n"},
    };
    enum { FILES = sizeof files / sizeof *files };
    static char hurt[FILE_MOST];
    struct jobdir dir;
    uint64_t state = 3;

    jobdir_make(&dir);
    for (int i = 0; i < FILES; i++)
        jobdir_write(&dir, files[i].name, files[i].text);
    jobdir_load_well(&dir);
    cr_assert(dir.job.fence.ncheck == 4 && dir.job.ndry_fit == 2);
    for (int i = 0; i < FILES; i++) {
        for (int round = 0; round < 10 * ROUNDS; round++) {
            size_t n = strlen(files[i].text);
            memcpy(hurt, files[i].text, n);
            write_bytes(&dir, files[i].name, hurt, damage(hurt, n, &state));
            load_damaged(dir.path, files[i].name);
        }
        jobdir_write(&dir, files[i].name, files[i].text);
    }
    jobdir_remove(&dir);
}
