/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "config.h"

#include "rb/film/thumbs.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "rb/film/fingerprint.h"
#include "rb/film/frames.h"

#include "disk-cache.h"

/* Part of every name: thumbnails of another make are not used. */
#define FORMAT 1
#define SUFFIX ".thumb"

/* What a kept file begins with; the picture follows. */
typedef struct {
    char mark[8];
    int32_t width;
    int32_t height;
} Head;

static const char mark[8] = "rbthumb";

int64_t rb_thumbs_default_budget(void)
{
    return INT64_C(64) << 20;
}

void rb_thumb_free(RbThumb *thumb)
{
    if (thumb != NULL) {
        g_bytes_unref(thumb->bgra);
        g_free(thumb);
    }
}

static char *path_of(const char *fingerprint, int64_t frame)
{
    g_autofree char *folder = rb_disk_cache_folder("thumbs");
    g_autofree char *name =
        g_strdup_printf("%.40s-%d.%d-%lld" SUFFIX, strchr(fingerprint, ':') + 1,
                        rb_reel_get_index_version(), FORMAT, (long long)frame);
    return g_build_filename(folder, name, NULL);
}

/* A file that is not exactly what was written is none. */
static RbThumb *load(const char *path)
{
    char *text = NULL;
    size_t n = 0;
    if (!g_file_get_contents(path, &text, &n, NULL)) {
        return NULL;
    }
    g_autoptr(GBytes) bytes = g_bytes_new_take(text, n);
    Head head;
    if (n < sizeof head) {
        return NULL;
    }
    memcpy(&head, text, sizeof head);
    if (memcmp(head.mark, mark, sizeof mark) != 0 || head.width < 1 || head.height < 1 ||
        head.width > RB_THUMB_WIDTH || head.height > RB_THUMB_HEIGHT ||
        n != sizeof head + (size_t)head.width * (size_t)head.height * 4) {
        return NULL;
    }
    RbThumb *thumb = g_new(RbThumb, 1);
    *thumb =
        (RbThumb){ .width = head.width,
                   .height = head.height,
                   .bgra = g_bytes_new_from_bytes(bytes, sizeof head, n - sizeof head) };
    rb_disk_cache_touch(path);
    return thumb;
}

/* A disk that takes nothing costs only the time to make it again. */
static void keep(const char *path, const RbThumb *thumb)
{
    Head head = { .width = thumb->width, .height = thumb->height };
    memcpy(head.mark, mark, sizeof mark);
    size_t n = 0;
    const void *pixels = g_bytes_get_data(thumb->bgra, &n);
    g_autoptr(GByteArray) bytes = g_byte_array_sized_new((guint)(sizeof head + n));
    g_byte_array_append(bytes, (const uint8_t *)&head, sizeof head);
    g_byte_array_append(bytes, pixels, (guint)n);
    g_autofree char *folder = g_path_get_dirname(path);
    g_mkdir_with_parents(folder, 0700);
    g_file_set_contents(path, (const char *)bytes->data, (gssize)bytes->len, NULL);
}

/* The largest size of the film's shape that fits: pixels need not be square. */
static void size_of(RbReel *reel, int *width, int *height)
{
    g_autoptr(RbFilmFacts) facts = rb_reel_dup_facts(reel);
    const double by = MIN((double)RB_THUMB_WIDTH / MAX(facts->shown_width, 1),
                          (double)RB_THUMB_HEIGHT / MAX(facts->shown_height, 1));
    *width = CLAMP((int)(facts->shown_width * by + 0.5), 1, RB_THUMB_WIDTH);
    *height = CLAMP((int)(facts->shown_height * by + 0.5), 1, RB_THUMB_HEIGHT);
}

static RbThumb *make(RbReel *reel, int64_t frame, RbCancel *cancel, GError **error)
{
    const bool by_field = rb_reel_is_interlaced(reel);
    RbFrameOptions options = { .pixels = RB_PIXELS_BGRA,
                               .stretch = true,
                               .by_field = by_field };
    size_of(reel, &options.max_width, &options.max_height);
    g_autoptr(RbPicture) picture = rb_reel_wait_frame(reel, by_field ? frame * 2 : frame,
                                                      &options, cancel, 0, error);
    if (picture == NULL) {
        return NULL;
    }
    const size_t row = (size_t)rb_picture_get_width(picture) * 4;
    const size_t n = row * (size_t)rb_picture_get_height(picture);
    uint8_t *pixels = g_malloc(n);
    for (int y = 0; y < rb_picture_get_height(picture); y++) {
        memcpy(pixels + (size_t)y * row,
               rb_picture_get_bytes(picture) + (size_t)y * rb_picture_get_stride(picture),
               row);
    }
    RbThumb *thumb = g_new(RbThumb, 1);
    *thumb = (RbThumb){ .width = rb_picture_get_width(picture),
                        .height = rb_picture_get_height(picture),
                        .bgra = g_bytes_new_take(pixels, n) };
    return thumb;
}

/* The film that asks in a row are about. */
typedef struct {
    const char *path;  /* borrowed, NULL: none yet */
    char *fingerprint; /* owned, nullable: it cannot be read */
    RbReel *reel;      /* owned, NULL until it is needed */
    bool failed;
    GError *first; /* owned, nullable: what went wrong first */
} Film;

static void film_clear(Film *film)
{
    g_clear_pointer(&film->fingerprint, g_free);
    g_clear_pointer(&film->reel, rb_reel_close);
    film->failed = false;
}

static void note(Film *film, GError *error)
{
    if (film->first == NULL) {
        film->first = error;
    } else {
        g_clear_error(&error);
    }
}

static void turn_to(Film *film, const char *path, RbCancel *cancel)
{
    if (film->path != NULL && g_str_equal(film->path, path)) {
        return;
    }
    film_clear(film);
    film->path = path;
    GError *error = NULL;
    film->fingerprint = rb_film_fingerprint(path, NULL, cancel, &error);
    if (film->fingerprint == NULL) {
        film->failed = true;
        note(film, error);
    }
}

static RbThumb *get(Film *film, int64_t frame, RbCancel *cancel)
{
    if (film->failed) {
        return NULL;
    }
    g_autofree char *path = path_of(film->fingerprint, frame);
    RbThumb *thumb = load(path);
    GError *error = NULL;
    if (thumb != NULL) {
        return thumb;
    }
    if (film->reel == NULL) {
        film->reel = rb_reel_open_wait(film->path, cancel, 0, NULL, &error);
        film->failed = film->reel == NULL;
    }
    thumb = film->reel != NULL ? make(film->reel, frame, cancel, &error) : NULL;
    if (thumb != NULL) {
        keep(path, thumb);
    } else {
        note(film, error);
    }
    return thumb;
}

bool rb_thumbs_make(const RbThumbAsk *asks, int n, int64_t budget, RbThumbTake take,
                    void *data, RbCancel *cancel, RbProgress *progress, GError **error)
{
    Film film = { 0 };
    bool good = true;
    for (int i = 0; good && i < n; i++) {
        good = cancel == NULL || rb_cancel_check(cancel, error);
        if (good) {
            turn_to(&film, asks[i].film, cancel);
            take(data, i, get(&film, asks[i].frame, cancel));
            rb_progress_set(progress, (double)(i + 1) / n, _("making thumbnails"));
        }
    }
    film_clear(&film);
    g_autofree char *folder = rb_disk_cache_folder("thumbs");
    rb_disk_cache_prune(folder, SUFFIX, budget, NULL);
    if (good && film.first != NULL) {
        g_propagate_error(error, g_steal_pointer(&film.first));
        good = false;
    }
    g_clear_error(&film.first);
    return good;
}
