/* The player; player.h tells what it does. Tables are read through LW_U8, LW_U16 and LW_U32, so that a controller can
 * keep them in its program memory: see player.md. */
#include "player.h"

#ifndef LW_U8
#define LW_U8(value) (value)
#define LW_U16(value) (value)
#define LW_U32(value) (value)
#endif

#define LW_WITH_TABLES
#include LW_TABLES

#define MOST_AGE 0x7FFF

/* Move every beat on; (ms % turn) * adds stays below 2^32 by the making of the tables. */
static void count_beats(struct lw_player *player, uint32_t ms)
{
    for (uint16_t i = 0; i < LW_BEATS; i++) {
        const uint32_t turn = LW_U32(lw_beats[i].turn);
        const uint32_t moved = ms % turn * LW_U32(lw_beats[i].adds) % turn;

        player->beats[i] = (player->beats[i] + moved) % turn;
    }
}

static int is_lit(const struct lw_player *player, uint8_t beat)
{
    const uint32_t at = player->beats[beat];
    const uint32_t starts = LW_U32(lw_beats[beat].starts);
    const uint32_t since = at >= starts ? at - starts : at + LW_U32(lw_beats[beat].turn) - starts;

    return since < LW_U32(lw_beats[beat].lasts);
}

static void count_test(struct lw_player *player, uint32_t ms)
{
    uint32_t left;

    if (player->tested == LW_NO_TEST) {
        return;
    }
    left = LW_U8(lw_signals[player->tested].outputs) * (uint32_t)LW_TEST_MS - player->test_time;
    if (ms < left) {
        player->test_time += ms;
    } else {
        player->tested = LW_NO_TEST;
    }
}

/* The level an output is to have: `which` counts the outputs of the signal. */
static uint16_t wanted(const struct lw_player *player, uint16_t signal, uint8_t which)
{
    const uint16_t row = (uint16_t)(LW_U16(lw_signals[signal].row) +
                                    player->shows[signal] * LW_U8(lw_signals[signal].outputs));
    uint8_t way;

    if (player->tested == signal) {
        const uint16_t output = (uint16_t)(LW_U16(lw_signals[signal].output) + which);

        return player->test_time / LW_TEST_MS == which ? LW_U16(lw_outputs[output].most) : 0;
    }
    way = LW_U8(lw_rows[row + which]);
    return is_lit(player, LW_U8(lw_ways[way].beat)) ? LW_U16(lw_ways[way].high) : LW_U16(lw_ways[way].low);
}

/* Where an output is on its way; a share of the way is in 1/32768. */
static uint16_t reached(const struct lw_lamp *lamp, uint8_t fade)
{
    const int rises = lamp->to > lamp->from;
    const uint16_t first = rises ? LW_U16(lw_fades[fade].rise) : LW_U16(lw_fades[fade].fall);
    const uint16_t steps = rises ? LW_U16(lw_fades[fade].rise_steps) : LW_U16(lw_fades[fade].fall_steps);
    const uint16_t way = (uint16_t)(rises ? lamp->to - lamp->from : lamp->from - lamp->to);
    uint16_t gone;

    if (lamp->age + 1 >= steps) {
        return lamp->to;
    }
    gone = (uint16_t)((uint32_t)way * LW_U16(lw_curves[first + lamp->age]) >> 15);
    return (uint16_t)(rises ? lamp->from + gone : lamp->from - gone);
}

static void write_output(const struct lw_player *player, uint16_t output)
{
    struct lw_place place;

    place.board = LW_U8(lw_outputs[output].board);
    place.address = LW_U8(lw_outputs[output].address);
    place.channel = LW_U8(lw_outputs[output].channel);
    place.lit_low = LW_U8(lw_outputs[output].lit_low);
    place.top = LW_U16(lw_outputs[output].top);
    player->set(&place, player->lamps[output].now);
}

static void step_output(struct lw_player *player, uint16_t output, uint16_t to, uint32_t steps, int must)
{
    struct lw_lamp *const lamp = &player->lamps[output];
    const uint16_t before = lamp->now;

    if (to != lamp->to) {
        lamp->from = lamp->now;
        lamp->to = to;
        lamp->age = 0;
    } else {
        lamp->age = (uint16_t)(steps < (uint32_t)(MOST_AGE - lamp->age) ? lamp->age + steps : MOST_AGE);
    }
    lamp->now = reached(lamp, LW_U8(lw_outputs[output].fade));
    if (must || lamp->now != before || output == player->turn) {
        write_output(player, output);
    }
}

static void step_all(struct lw_player *player, uint32_t steps, int must)
{
    for (uint16_t signal = 0; signal < LW_SIGNALS; signal++) {
        const uint16_t first = LW_U16(lw_signals[signal].output);

        for (uint8_t which = 0; which < LW_U8(lw_signals[signal].outputs); which++) {
            step_output(player, (uint16_t)(first + which), wanted(player, signal, which), steps, must);
        }
    }
    player->turn = (uint16_t)((player->turn + 1) % LW_OUTPUTS);
}

static void fall_back(struct lw_player *player)
{
    for (uint16_t signal = 0; signal < LW_SIGNALS; signal++) {
        player->shows[signal] = LW_U16(lw_signals[signal].failsafe);
    }
}

void lw_begin(struct lw_player *player, lw_set set, lw_clock clock, uint32_t silence)
{
    static const struct lw_lamp dark = {0, 0, 0, 0};

    player->set = set;
    player->clock = clock;
    player->silence = silence;
    player->heard = player->stepped = clock();
    player->tested = LW_NO_TEST;
    player->test_time = 0;
    player->turn = 0;
    for (uint16_t i = 0; i < LW_BEATS; i++) {
        player->beats[i] = 0;
    }
    for (uint16_t i = 0; i < LW_OUTPUTS; i++) {
        player->lamps[i] = dark;
    }
    fall_back(player);
    step_all(player, 0, 1);
}

void lw_play(struct lw_player *player)
{
    const uint32_t now = player->clock();
    const uint32_t steps = (now - player->stepped) / LW_STEP_MS; /* right also where the clock runs over */
    const uint32_t ms = steps * LW_STEP_MS;

    if (player->silence != 0 && now - player->heard >= player->silence) {
        fall_back(player);
    }
    if (steps == 0) {
        return;
    }
    player->stepped += ms;
    count_beats(player, ms);
    count_test(player, ms);
    step_all(player, steps, 0);
}

enum lw_result lw_show(struct lw_player *player, uint16_t signal, uint16_t command)
{
    if (signal >= LW_SIGNALS) {
        return LW_NO_SIGNAL;
    }
    for (uint16_t i = 0; i < LW_U16(lw_signals[signal].commands); i++) {
        if (LW_U16(lw_numbers[LW_U16(lw_signals[signal].number) + i]) == command) {
            player->shows[signal] = i;
            player->heard = player->clock();
            return LW_OK;
        }
    }
    return LW_NO_ASPECT;
}

enum lw_result lw_test(struct lw_player *player, uint16_t signal)
{
    if (signal >= LW_SIGNALS) {
        return LW_NO_SIGNAL;
    }
    if (player->tested != LW_NO_TEST) {
        return LW_BUSY;
    }
    player->tested = signal;
    player->test_time = 0;
    return LW_OK;
}

uint32_t lw_fingerprint(void)
{
    return LW_FINGERPRINT;
}

uint32_t lw_signal_fingerprint(uint16_t signal)
{
    return signal < LW_SIGNALS ? LW_U32(lw_signals[signal].fingerprint) : 0;
}
