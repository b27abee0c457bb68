/* SPDX-License-Identifier: GPL-3.0-or-later */
#define _GNU_SOURCE /* environ */
#include "config.h"

#include "helper-process.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <spawn.h>
#include <stdint.h>
#include <string.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "rb/base/error.h"
#include "rb/base/installed.h"
#include "rb/film/error.h"
#include "rb/film/helper.h"

#include "channel.h"

static char *beside_the_program(void)
{
    char path[4096];
    const ssize_t n = readlink("/proc/self/exe", path, sizeof path - 1);
    if (n <= 0) {
        return NULL;
    }
    path[n] = '\0';
    g_autofree char *folder = g_path_get_dirname(path);
    g_autofree char *above = g_path_get_dirname(folder);
    /* Programs lie in src/<part>/, tests in tests/<part>/ of the build folder. */
    const char *const places[] = { "decode", "../src/decode" };
    for (size_t i = 0; i < G_N_ELEMENTS(places); i++) {
        char *helper = g_build_filename(above, places[i], "readbreak-decode", NULL);
        if (access(helper, X_OK) == 0) {
            return helper;
        }
        g_free(helper);
    }
    return NULL;
}

char *rb_film_find_helper(GError **error)
{
    const char *named = g_getenv("READBREAK_DECODE");
    if (named != NULL && named[0] != '\0') {
        if (access(named, X_OK) == 0) {
            return g_strdup(named);
        }
        rb_error_set(error, RB_FILM_ERROR, RB_FILM_ERROR_HELPER,
                     "The program that reads films, \"%s\" (named by READBREAK_DECODE), "
                     "cannot be run; correct the variable or remove it.",
                     named);
        return NULL;
    }
    char *near = beside_the_program();
    if (near != NULL) {
        return near;
    }
    char *installed = rb_installed_path(RB_LIBEXEC_BELOW "/readbreak-decode",
                                        RB_LIBEXEC_DIR "/readbreak-decode");
    if (access(installed, X_OK) == 0) {
        return installed;
    }
    rb_error_set(
        error, RB_FILM_ERROR, RB_FILM_ERROR_HELPER,
        "The program that reads films, \"%s\", is missing; install Readbreak again.",
        installed);
    g_free(installed);
    return NULL;
}

/* Standard input and output are nothing; the socket is RB_HELPER_SOCKET; every other
 * descriptor of ours is close-on-exec, and the helper closes the rest once more. */
static int spawn(const char *path, int socket, pid_t *pid)
{
    posix_spawn_file_actions_t files;
    posix_spawnattr_t attributes;
    sigset_t none;
    sigset_t all;
    sigemptyset(&none);
    sigfillset(&all);
    posix_spawn_file_actions_init(&files);
    posix_spawnattr_init(&attributes);
    posix_spawn_file_actions_addopen(&files, 0, "/dev/null", O_RDONLY, 0);
    posix_spawn_file_actions_addopen(&files, 1, "/dev/null", O_WRONLY, 0);
    posix_spawn_file_actions_adddup2(&files, socket, RB_HELPER_SOCKET);
    posix_spawnattr_setsigmask(&attributes, &none);
    posix_spawnattr_setsigdefault(&attributes, &all);
    posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETSIGMASK | POSIX_SPAWN_SETSIGDEF);
    char *argv[] = { (char *)(uintptr_t)path, NULL };
    const int result = posix_spawn(pid, path, &files, &attributes, argv, environ);
    posix_spawnattr_destroy(&attributes);
    posix_spawn_file_actions_destroy(&files);
    return result;
}

bool rb_helper_start(RbHelper *helper, GError **error)
{
    g_autofree char *path = rb_film_find_helper(error);
    if (path == NULL) {
        return false;
    }
    int ends[2];
    if (!rb_channel_pair(ends)) {
        return rb_error_errno(error, RB_FILM_ERROR, RB_FILM_ERROR_HELPER, errno,
                              "No connection to the program that reads films could be "
                              "made; close other programs and try again");
    }
    const int result = spawn(path, ends[1], &helper->pid);
    close(ends[1]);
    if (result != 0) {
        close(ends[0]);
        helper->pid = 0;
        return rb_error_errno(
            error, RB_FILM_ERROR, RB_FILM_ERROR_HELPER, result,
            "The program that reads films, \"%s\", could not be started; "
            "install Readbreak again",
            path);
    }
    helper->socket = ends[0];
    return true;
}

int rb_helper_end(RbHelper *helper)
{
    int status = 0;
    if (helper->socket >= 0) {
        close(helper->socket);
        helper->socket = -1;
    }
    if (helper->pid > 0) {
        kill(helper->pid, SIGKILL);
        while (waitpid(helper->pid, &status, 0) < 0 && errno == EINTR) {
        }
        helper->pid = 0;
    }
    return status;
}

int64_t rb_helper_get_cpu_us(const RbHelper *helper)
{
    clockid_t clock;
    struct timespec used;
    if (helper->pid <= 0 || clock_getcpuclockid(helper->pid, &clock) != 0 ||
        clock_gettime(clock, &used) != 0) {
        return 0;
    }
    return (int64_t)used.tv_sec * 1000000 + used.tv_nsec / 1000;
}

/* proc(5): the state is the letter behind the name, which ends with the last bracket. */
static bool is_thread_runnable(const char *folder, const char *thread)
{
    g_autofree char *path = g_build_filename(folder, thread, "stat", NULL);
    g_autofree char *text = NULL;
    if (!g_file_get_contents(path, &text, NULL, NULL)) {
        return false;
    }
    const char *bracket = strrchr(text, ')');
    return bracket != NULL && g_str_has_prefix(bracket, ") R");
}

bool rb_helper_is_runnable(const RbHelper *helper)
{
    g_autofree char *folder = g_strdup_printf("/proc/%d/task", (int)helper->pid);
    g_autoptr(GDir) dir = helper->pid > 0 ? g_dir_open(folder, 0, NULL) : NULL;
    const char *thread = NULL;
    while (dir != NULL && (thread = g_dir_read_name(dir)) != NULL) {
        if (is_thread_runnable(folder, thread)) {
            return true;
        }
    }
    return false;
}
