/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "seen-field.h"

#include <math.h>

#include "random-play.h"

/* Bytes of a 4:2:0 picture. */
#define BYTES (RB_DEMO_WIDTH * RB_DEMO_HEIGHT * 3 / 2)

void scene_init(Scene *scene, RbFieldCode code, const RbDemoPlay *play, uint64_t seed)
{
    RbRandom random;
    rb_random_seed(&random, seed);
    rb_demo_plan_init(&scene->plan, code, play, &random);
    scene->action = rb_demo_action_new(&scene->plan, &random);
    scene->stadium = NULL; /* dear: many a scene is never drawn */
    scene->seed = seed;
    scene->mask = rb_demo_mask_new(RB_DEMO_WIDTH, RB_DEMO_HEIGHT);
    rb_demo_cast_init(&scene->cast, seed);
    scene->bytes = g_malloc(BYTES);
    scene->gray =
        (RbGrayPicture){ scene->bytes, RB_DEMO_WIDTH, RB_DEMO_HEIGHT, RB_DEMO_WIDTH };
}

void scene_clear(Scene *scene)
{
    rb_demo_action_free(scene->action);
    rb_demo_stadium_free(scene->stadium);
    rb_demo_mask_free(scene->mask);
    g_free(scene->bytes);
}

const RbGrayPicture *scene_draw(Scene *scene, RbAngle angle, int frame)
{
    const int size = RB_DEMO_WIDTH * RB_DEMO_HEIGHT;
    if (scene->stadium == NULL) {
        scene->stadium = rb_demo_stadium_new(scene->plan.code, scene->seed);
    }
    RbDemoCanvas canvas = {
        .stadium = scene->stadium,
        .mask = scene->mask,
        .frame = { RB_DEMO_WIDTH,
                   RB_DEMO_HEIGHT,
                   { scene->bytes, scene->bytes + size, scene->bytes + size * 5 / 4 },
                   { RB_DEMO_WIDTH, RB_DEMO_WIDTH / 2, RB_DEMO_WIDTH / 2 } },
    };
    rb_demo_scene_draw(&canvas, scene->action, &scene->cast, angle, frame);
    return &scene->gray;
}

static RbProjection projection_of(const Scene *scene, RbAngle angle, int frame)
{
    const RbCamera camera = rb_demo_scene_camera(scene->action, angle, frame);
    return rb_camera_projection(&camera);
}

bool scene_show(const Scene *scene, RbAngle angle, int frame, RbPoint2 field,
                RbPoint2 *pixel)
{
    const RbProjection projection = projection_of(scene, angle, frame);
    return rb_projection_apply(&projection, (RbPoint3){ field.x, field.y, 0.0 }, pixel,
                               NULL) &&
           pixel->x >= 0 && pixel->y >= 0 && pixel->x < RB_DEMO_WIDTH &&
           pixel->y < RB_DEMO_HEIGHT;
}

bool scene_locate(const Scene *scene, RbAngle angle, int frame, RbPoint2 pixel,
                  RbPoint2 *field)
{
    const RbProjection projection = projection_of(scene, angle, frame);
    const RbHomography ground = rb_projection_ground(&projection);
    RbHomography back;
    return rb_homography_invert(&ground, &back, NULL) &&
           rb_homography_apply(&back, pixel, field);
}

/* Of all landmarks in the picture the one farthest from those chosen; the first farthest from the
 * middle. -1 when all are chosen. */
static int farthest(const GArray *seen, const RbSighting *chosen, int n)
{
    int best = -1;
    double most = 30.0; /* nearer than this nobody clicks a second time */
    for (guint i = 0; i < seen->len; i++) {
        const RbPoint2 at = g_array_index(seen, RbSighting, i).pixel;
        double nearest =
            n == 0 ? hypot(at.x - RB_DEMO_WIDTH / 2.0, at.y - RB_DEMO_HEIGHT / 2.0)
                   : HUGE_VAL;
        for (int k = 0; k < n; k++) {
            nearest =
                MIN(nearest, hypot(at.x - chosen[k].pixel.x, at.y - chosen[k].pixel.y));
        }
        if (nearest > most) {
            most = nearest;
            best = (int)i;
        }
    }
    return best;
}

int scene_click(const Scene *scene, RbAngle angle, int frame, int most, double sigma,
                RbRandom *random, RbSighting *sightings)
{
    g_autoptr(GArray) landmarks = rb_landmark_all(scene->plan.code);
    g_autoptr(GArray) seen = g_array_new(FALSE, FALSE, sizeof(RbSighting));
    for (guint i = 0; i < landmarks->len; i++) {
        const RbLandmark landmark = g_array_index(landmarks, RbLandmark, i);
        RbSighting s = { .kind = RB_SIGHT_POINT };
        if (landmark.kind != RB_LANDMARK_SHORT_MARK &&
            rb_landmark_point(scene->plan.code, landmark, &s.field[0]) &&
            scene_show(scene, angle, frame, s.field[0], &s.pixel)) {
            g_array_append_val(seen, s);
        }
    }
    int n = 0;
    for (int i = farthest(seen, sightings, 0); i >= 0 && n < most;
         i = farthest(seen, sightings, n)) {
        sightings[n++] = g_array_index(seen, RbSighting, i);
    }
    for (int i = 0; i < n; i++) {
        sightings[i].pixel.x += rb_random_normal(random, 0.0, sigma);
        sightings[i].pixel.y += rb_random_normal(random, 0.0, sigma);
    }
    return n;
}
