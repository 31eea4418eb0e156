/* Plays signals from tables: shows what each is told to show, flashes, fades, falls back.
 *
 * C99 without allocation and without floating point. `tables.h` comes of `lampwright export PLAN --as c-header`;
 * player.md has an example. For model railways only, never for a real one.
 */
#ifndef LW_PLAYER_H
#define LW_PLAYER_H

#include <stdint.h>

#ifndef LW_TABLES
#define LW_TABLES "tables.h"
#endif
#include LW_TABLES

#ifdef __cplusplus
extern "C" {
#endif

#ifndef LW_TEST_MS
#define LW_TEST_MS 1000u /* how long a lamp test lights each output */
#endif

#define LW_NO_TEST 0xFFFFu

enum lw_result {
    LW_OK,
    LW_NO_SIGNAL, /* there is no signal of this number */
    LW_NO_ASPECT, /* the signal cannot be told this */
    LW_BUSY       /* a lamp test is on */
};

/* An output as the user's function is told of it. `address` is that of its board, LW_NO_ADDRESS if it has none. With
 * `lit_low` the output must be low for its lamp to be lit; `top` is the level of full light. */
struct lw_place {
    uint8_t board;
    uint8_t address;
    uint8_t channel;
    uint8_t lit_low;
    uint16_t top;
};

/* What the user gives: a function that sets an output to a level, 0 (dark) to `top` (full on), and one that tells
 * milliseconds, which may begin anywhere and may run over. */
typedef void (*lw_set)(const struct lw_place *place, uint16_t level);
typedef uint32_t (*lw_clock)(void);

/* One output on its way from a level to another. */
struct lw_lamp {
    uint16_t from;
    uint16_t to;
    uint16_t now;
    uint16_t age; /* steps since it set out */
};

/* Everything a player remembers; one for each controller, in the user's memory. */
struct lw_player {
    lw_set set;
    lw_clock clock;
    uint32_t silence;
    uint32_t heard;
    uint32_t stepped;
    uint32_t test_time;
    uint16_t tested;
    uint16_t turn;
    uint16_t shows[LW_SIGNALS];
    uint32_t beats[LW_BEATS];
    struct lw_lamp lamps[LW_OUTPUTS];
};

/* Begins: every output is set, every signal shows what it falls to, and all flashing counts from here. After `silence`
 * milliseconds without a command that is accepted, all signals fall back; 0 is never. */
void lw_begin(struct lw_player *player, lw_set set, lw_clock clock, uint32_t silence);

/* Plays on; to be called in the loop, oftener than every LW_STEP_MS. It sets outputs that change, and one more in turn
 * at each step, so that what a board has lost comes back. */
void lw_play(struct lw_player *player);

/* Tells a signal to show something: LW_SIGNAL_x, and LW_x_y of the tables. What is rejected changes nothing. */
enum lw_result lw_show(struct lw_player *player, uint16_t signal, uint16_t command);

/* Lights the outputs of one signal one after the other, then shows what the signal is told to. */
enum lw_result lw_test(struct lw_player *player, uint16_t signal);

/* Answer with the fingerprint of the plan, or of a signal (0 if there is none of this number). */
uint32_t lw_fingerprint(void);
uint32_t lw_signal_fingerprint(uint16_t signal);

#ifdef __cplusplus
}
#endif

#endif
