/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A fuzz target without a fuzzer: tries every file named on the command line,
 * in folders every file below them.  Exit status 1 where one cannot be read. */
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "fuzz.h"

static size_t tried;

static int try_path(const char *path);

static int fail(const char *path)
{
    perror(path);
    return 1;
}

static int try_file(const char *path, size_t size)
{
    FILE *file = fopen(path, "rb");
    uint8_t *data;
    int bad;

    if (!file)
        return fail(path);
    data = malloc(size ? size : 1);
    bad = !data || fread(data, 1, size, file) != size;
    fclose(file);
    if (bad) {
        free(data);
        return fail(path);
    }
    LLVMFuzzerTestOneInput(data, size);
    free(data);
    tried++;
    return 0;
}

static int try_folder(const char *path)
{
    DIR *folder = opendir(path);
    const struct dirent *entry;
    int bad = 0;

    if (!folder)
        return fail(path);
    while ((entry = readdir(folder))) {
        size_t room = strlen(path) + strlen(entry->d_name) + 2;
        char *inner;
        if (strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0)
            continue;
        inner = malloc(room);
        if (!inner) {
            bad = fail(path);
            break;
        }
        snprintf(inner, room, "%s/%s", path, entry->d_name);
        bad |= try_path(inner);
        free(inner);
    }
    closedir(folder);
    return bad;
}

static int try_path(const char *path)
{
    struct stat info;

    if (stat(path, &info) != 0)
        return fail(path);
    if (S_ISDIR(info.st_mode))
        return try_folder(path);
    return S_ISREG(info.st_mode) ? try_file(path, (size_t)info.st_size) : 0;
}

int main(int argc, char **argv)
{
    int bad = 0;

    for (int i = 1; i < argc; i++)
        bad |= try_path(argv[i]);
    printf("%zu files tried\n", tried);
    return bad;
}
