/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "moving-scene.h"

#include <math.h>
#include <string.h>

#include "rb/base/random.h"

#define RATE 60
#define GROUP 60

static uint32_t hash(uint64_t seed, int64_t x, int64_t y)
{
    uint64_t h =
        seed ^ ((uint64_t)x * 0x9E3779B97F4A7C15u) ^ ((uint64_t)y * 0xC2B2AE3D27D4EB4Fu);
    h ^= h >> 29;
    h *= 0xBF58476D1CE4E5B9u;
    h ^= h >> 32;
    return (uint32_t)h;
}

/* Smooth noise of one size, 0 to 1. Its corners come from a table: painting is most of a test's
 * time. */
#define LATTICE 256
#define NOISES 3

static double noise(int kind, double u, double v)
{
    static float corners[NOISES][LATTICE][LATTICE];
    static bool made;
    for (int i = 0; !made && i < NOISES * LATTICE * LATTICE; i++) {
        (&corners[0][0][0])[i] = (float)((hash((uint64_t)(i / LATTICE / LATTICE),
                                               i % LATTICE, i / LATTICE % LATTICE) &
                                          0xffff) /
                                         65535.0);
    }
    made = true;
    const int x = (int)floor(u);
    const int y = (int)floor(v);
    const double a = u - x;
    const double b = v - y;
    const float *above = corners[kind][y & (LATTICE - 1)];
    const float *below = corners[kind][(y + 1) & (LATTICE - 1)];
    const int left = x & (LATTICE - 1);
    const int right = (x + 1) & (LATTICE - 1);
    return (1 - b) * ((1 - a) * above[left] + a * above[right]) +
           b * ((1 - a) * below[left] + a * below[right]);
}

/* The ground at a place in yards: stands above, turf with lines every five yards below; as a
 * lens shows it, so that nothing is sharper than a pixel, which is `yard` yards. */
static double ground(double x, double y, double yard)
{
    if (y < 0) {
        return 60 + 130 * noise(0, x / 2.5, y / 2.5);
    }
    const double off = fabs(x / 5 - round(x / 5)) * 5;
    const double line = fmin(fmax((0.25 + yard / 2 - off) / yard, 0), 1);
    const double turf =
        80 + 40 * noise(1, x / 3, y / 3) + 14 * noise(2, x / 1.5, y / 1.5);
    return turf + line * (210 - turf);
}

typedef struct {
    double x; /* middle of the picture, yards */
    double y;
    double span; /* yards across */
    double light;
    double post; /* where a post stands, 0 to 1; below 0: none */
} Camera;

static int shot_of(const MovingScene *scene, int64_t frame)
{
    int shot = 0;
    while (shot + 1 < scene->shots && scene->starts[shot + 1] <= frame) {
        shot++;
    }
    return shot;
}

static bool has(const MovingScene *scene, int shot, MovingKind kind)
{
    return scene->kind == kind ||
           (scene->kind == MOVING_ALL &&
            (int)(hash(scene->seed, shot, 77) % MOVING_ALIKE) == (int)kind);
}

/* Cameras that keep to one place for all shots. */
static void keep_place(const MovingScene *scene, int shot, Camera *camera)
{
    if (scene->kind == MOVING_NEARER || scene->kind == MOVING_TRIPOD) {
        camera->x = 40;
        camera->y = 10;
        camera->span = scene->kind == MOVING_TRIPOD ? 40 : shot % 2 == 0 ? 44 : 30;
    }
}

static Camera camera_at(const MovingScene *scene, int64_t frame)
{
    const int shot = shot_of(scene, frame);
    const double t = (double)(frame - scene->starts[shot]) / RATE;
    const uint32_t h = hash(scene->seed, shot, 5);
    const bool alike = scene->kind == MOVING_ALIKE;
    Camera camera = { .x = alike ? 40 + (h % 100) / 50.0 : 10 + h % 80,
                      .y = 8 + (alike ? 0 : (h >> 8) % 12),
                      .span = alike ? 40 : 30 + (h >> 16) % 25,
                      .light = 1,
                      .post = -1 };
    keep_place(scene, shot, &camera);
    /* From sideline to sideline 50 yards in 2.4 seconds, 32 yards a second at most: faster than a
     * camera follows a ball thrown deep (about 60 miles an hour, 29 yards a second), and what an
     * operator does between plays, back to the next spot. From memory, no source. */
    if (has(scene, shot, MOVING_PANS) || has(scene, shot, MOVING_FENCE)) {
        camera.x += 25 * sin(t * 1.3);
    }
    if (has(scene, shot, MOVING_ZOOMS)) {
        camera.span *= exp(0.5 * sin(t * 2.0));
    }
    if (has(scene, shot, MOVING_FLASHES) && frame % 97 < 3 && t > 0.5) {
        camera.light = 2.2;
    }
    if (has(scene, shot, MOVING_FENCE)) {
        camera.post = fmod(t * 1.7, 1.6) - 0.3;
    }
    if (has(scene, shot, MOVING_FADES)) {
        const int64_t next =
            shot + 1 < scene->shots ? scene->starts[shot + 1] : scene->frames + RATE;
        const double in = shot > 0 ? t / 0.5 : 1;
        camera.light = fmin(fmin(in, 1), fmin((double)(next - frame) / (RATE * 0.5), 1));
    }
    return camera;
}

/* Men who stand for two seconds and then run. */
static void paint_men(const MovingScene *scene, int64_t frame, const Camera *camera,
                      uint8_t *pixels)
{
    const int shot = shot_of(scene, frame);
    const double t = (double)(frame - scene->starts[shot]) / RATE;
    const double scale = SCENE_WIDTH / camera->span;
    for (int i = 0; i < 22; i++) {
        const uint32_t h = hash(scene->seed, shot, 100 + i);
        const double run = t > 2 ? (t - 2) * 6 : 0;
        const double way = (h % 628) / 100.0;
        const double x = camera->x + (int)(h % 24) - 12 + run * cos(way);
        const double y = 4 + (h >> 8) % 16 + run * 0.4 * sin(way);
        const int u = (int)((x - camera->x) * scale) + SCENE_WIDTH / 2;
        const int v = (int)((y - camera->y) * scale) + SCENE_HEIGHT / 2;
        for (int k = 0; k < 8; k++) {
            const int px = u + k % 2;
            const int py = v + k / 2;
            if (px >= 0 && py >= 0 && px < SCENE_WIDTH && py < SCENE_HEIGHT) {
                pixels[py * SCENE_WIDTH + px] =
                    (uint8_t)fmin(255, camera->light * (i < 11 ? 235 : 25));
            }
        }
    }
}

/* The ground as this camera sees it. Painting it is most of a test's time, and a camera that
 * stands sees the same again. */
static const float *seen_ground(const Camera *camera)
{
    static float seen[SCENE_PIXELS];
    static Camera last;
    if (camera->x == last.x && camera->y == last.y && camera->span == last.span) {
        return seen;
    }
    last = *camera;
    const double yard = camera->span / SCENE_WIDTH;
    for (int v = 0; v < SCENE_HEIGHT; v++) {
        for (int u = 0; u < SCENE_WIDTH; u++) {
            const double x = camera->x + (u - SCENE_WIDTH / 2) * yard;
            const double y = camera->y + (v - SCENE_HEIGHT / 2) * yard;
            seen[v * SCENE_WIDTH + u] = (float)ground(x, y, yard);
        }
    }
    return seen;
}

static void paint(const MovingScene *scene, int64_t frame, uint8_t *pixels)
{
    const Camera camera = camera_at(scene, frame);
    const float *seen = seen_ground(&camera);
    for (int v = 0; v < SCENE_HEIGHT; v++) {
        for (int u = 0; u < SCENE_WIDTH; u++) {
            const double grain = (hash(scene->seed + (uint64_t)frame, u, v) & 7) - 3.5;
            const double level = camera.light * seen[v * SCENE_WIDTH + u] + grain;
            pixels[v * SCENE_WIDTH + u] = (uint8_t)fmin(fmax(level, 0), 255);
        }
    }
    paint_men(scene, frame, &camera, pixels);
    const int left = (int)(camera.post * SCENE_WIDTH);
    for (int u = left; camera.post > -0.3 && u < left + 12; u++) {
        for (int v = 0; u >= 0 && u < SCENE_WIDTH && v < SCENE_HEIGHT; v++) {
            pixels[v * SCENE_WIDTH + u] = 40;
        }
    }
}

/* Keys where the encoder's rule puts them, and in joined recordings at each start too. */
static bool is_key(const MovingScene *scene, int64_t frame)
{
    const int64_t start = scene->starts[shot_of(scene, frame)];
    return scene->kind == MOVING_JOINED || scene->kind == MOVING_TRIPOD
               ? (frame - start) % GROUP == 0
               : frame % GROUP == 0;
}

/* As large as the change since the frame before: what an encoder could not predict. */
static int32_t packet_size(const MovingScene *scene, int64_t frame, const uint8_t *now,
                           const uint8_t *before)
{
    SceneView a;
    SceneView b;
    memcpy(a.pixels, before, SCENE_PIXELS);
    memcpy(b.pixels, now, SCENE_PIXELS);
    rb_scene_view_measure(&a);
    rb_scene_view_measure(&b);
    const double rest = fmin(1, rb_scene_match(&a, &b, 3).rest);
    const double whole = 40000;
    return (int32_t)(is_key(scene, frame) ? whole : 300 + whole * rest);
}

static void make_index(MovingScene *scene)
{
    RbIndex *index = rb_index_new(scene->frames, scene->frames);
    uint8_t pictures[2][SCENE_PIXELS];
    index->base = (RbRational){ 1, RATE };
    index->rate = (RbRational){ RATE, 1 };
    int64_t jump = 0;
    int painted = 0;
    for (int64_t i = 0; i < scene->frames; i++) {
        const bool starts = i > 0 && shot_of(scene, i) != shot_of(scene, i - 1);
        jump += scene->kind == MOVING_STILL && starts ? 7 * RATE : 0;
        /* What changes in a frame that is left out is seen in the next. */
        const bool droppable = i % 2 == 1 && !is_key(scene, i) && !starts;
        int32_t size = i == 0 ? 40000 : 250;
        if (!droppable) {
            uint8_t *now = pictures[painted % 2];
            paint(scene, i, now);
            size =
                i == 0 ? size : packet_size(scene, i, now, pictures[(painted + 1) % 2]);
            painted++;
        }
        index->packets[i] =
            (RbIndexPacket){ .pts = i + jump,
                             .dts = i + jump,
                             .pos = -1,
                             .size = size,
                             .flags = (is_key(scene, i) ? RB_PACKET_KEY : 0u) |
                                      (droppable ? RB_PACKET_NO_REFERENCE : 0u) };
        index->frames[i] = (RbIndexFrame){ .pts = i + jump, .packet = (uint32_t)i };
    }
    rb_index_set_times(index);
    scene->index = index;
}

void moving_scene_init(MovingScene *scene, MovingKind kind, uint64_t seed)
{
    RbRandom random;
    rb_random_seed_stream(&random, seed, (uint64_t)kind);
    *scene =
        (MovingScene){ .kind = kind, .seed = seed * 31 + (uint64_t)kind, .group = -1 };
    scene->shots = kind == MOVING_STILL ? 2 : 4;
    for (int i = 0; i < scene->shots; i++) {
        scene->starts[i] = scene->frames;
        scene->frames += rb_random_int(&random, 7 * RATE, 9 * RATE);
        scene->frames -= kind == MOVING_NEARER ? scene->frames % GROUP : 0;
    }
    scene->held = g_new0(bool, scene->frames);
    make_index(scene);
}

void moving_scene_clear(MovingScene *scene)
{
    g_clear_pointer(&scene->index, rb_index_free);
    g_clear_pointer(&scene->held, g_free);
}

/* As the helper counts: a frame that it does not hold costs all that others are decoded from, from
 * the group's key on, and itself; those it then holds, until it decodes in another group. */
static bool get_view(SceneSource *source, SceneView *view, GError **error)
{
    (void)error;
    MovingScene *scene = source->data;
    int64_t key = view->frame;
    while (key > 0 && !is_key(scene, key)) {
        key--;
    }
    if (key != scene->group) {
        memset(scene->held, 0, (size_t)scene->frames);
        scene->group = key;
    }
    if (!scene->held[view->frame]) {
        source->spent += 1 + rb_scene_group_cost(source->index, key, view->frame);
        for (int64_t i = key; i < view->frame; i++) {
            scene->held[i] |= rb_scene_group_cost(source->index, i, i + 1) > 0;
        }
        scene->held[view->frame] = true;
    }
    scene->asked++;
    paint(scene, view->frame, view->pixels);
    return true;
}

SceneSource moving_scene_source(MovingScene *scene)
{
    return (SceneSource){ .index = scene->index, .get = get_view, .data = scene };
}
