// The sound: the server renders it at the tempo asked, so that its pitch stays; here it is decoded
// and played, from any bar, round and round if wished. It tells where it is, bar by bar.
//
// Events: bar (another bar sounds), ended, failed (error holds the sentence).

const FADE = 0.006; // s: a passage cut out of the sound begins and ends without a click

/**
 * Times, in seconds of the rendered sound, between which a passage of played bars lies. Once
 * through, the last strings ring out; round and round, the first bar follows in time.
 */
export function passageOf({ seconds, bars, begins }, first, last, loop) {
  const at = bars.findIndex(({ played }) => played === first);
  const end = bars.findIndex(({ played }) => played === last);
  const rung = loop ? Math.min(seconds, bars.at(-1).seconds + barLength({ seconds, bars, begins })) : seconds;
  return {
    from: at < 0 ? begins : bars[at].seconds,
    to: end < 0 || end + 1 >= bars.length ? rung : bars[end + 1].seconds,
  };
}

/** The played bar that sounds at a time of the rendered sound; 0 while it is counted in. */
export function barAt({ bars }, seconds) {
  let found = 0;
  for (const bar of bars) {
    if (bar.seconds > seconds + 0.001) break;
    found = bar.played;
  }
  return found;
}

/**
 * The bars to hear out of those selected: the first run of them, each printed bar once, since a
 * printed bar that is selected is selected every time through. printed: played bar → printed number.
 */
export function runOf(selected, printed) {
  const run = [];
  const seen = new Set();
  for (const played of [...selected].sort((one, other) => one - other)) {
    if (run.length && (played !== run.at(-1) + 1 || seen.has(printed.get(played)))) break;
    run.push(played);
    seen.add(printed.get(played));
  }
  return run;
}

export class Sound extends EventTarget {
  #ask;
  #context = null;
  #sources = [];
  #frame = 0;
  #loading = null;

  constructor(ask) {
    super();
    this.#ask = ask;
    this.made = null;     // what was rendered: {key, buffer, times}
    this.playing = false;
    this.loading = false;
    this.bar = 0;
  }

  /** Plays; first and last: played bars, or null for all; loop: round and round. */
  async play(body, { first = null, last = null, loop = false, counted = true }) {
    this.#hush();
    this.#loading?.abort();
    const mine = (this.#loading = new AbortController());
    this.playing = true;
    this.loading = true;
    try {
      // a browser lets sound begin only from a click or a key: at once, before anything is awaited
      this.#context ??= new AudioContext();
      const awake = this.#context.resume();
      const made = await this.#render(body, mine.signal);
      await soon(awake);
      if (mine !== this.#loading) return;
      this.loading = false;
      this.#start(made, { first, last, loop, counted, count: body.count_in });
    } catch (error) {
      if (mine !== this.#loading || error.name === "AbortError") return;
      this.stop();
      this.dispatchEvent(new ErrorEvent("failed", { message: sentence(error) }));
    }
  }

  stop() {
    this.#loading?.abort();
    this.#loading = null;
    this.#hush();
    this.playing = false;
    this.loading = false;
    this.#tell(0);
  }

  async #render(body, signal) {
    const key = JSON.stringify(body);
    if (this.made?.key === key) return this.made;
    const [bytes, times] = await Promise.all([
      this.#ask.bytes("/sound", body, signal),
      this.#ask.post("/sound/bars", body, signal),
    ]);
    const buffer = await this.#context.decodeAudioData(bytes);
    this.made = { key, buffer, times };
    return this.made;
  }

  #start({ buffer, times }, { first, last, loop, counted, count }) {
    const { from, to } = passageOf(times, first, last, loop);
    let lead = 0;
    const begins = this.#context.currentTime + 0.03;
    if (counted && times.begins > 0) {
      lead = first === null || from === times.begins
        ? times.begins : Math.min(times.begins, count * barLength(times));
      this.#sound(this.#cut(buffer, 0, lead), begins);
    }
    const source = this.#sound(this.#cut(buffer, from, Math.min(to, buffer.duration)), begins + lead);
    if (loop) {
      source.loop = true;
      source.loopStart = 0;
      source.loopEnd = source.buffer.duration;
    } else source.addEventListener("ended", () => {
      if (!this.#sources.includes(source)) return;
      this.stop();
      this.dispatchEvent(new Event("ended"));
    });
    this.#follow(times, begins + lead, from, source.buffer.duration, loop);
  }

  #sound(buffer, when) {
    const source = new AudioBufferSourceNode(this.#context, { buffer });
    source.connect(this.#context.destination);
    source.start(when);
    this.#sources.push(source);
    return source;
  }

  /** A part of a sound as one of its own, faded for a few milliseconds at both ends. */
  #cut(buffer, from, to) {
    const rate = buffer.sampleRate;
    const begin = Math.round(from * rate);
    const length = Math.max(1, Math.round(to * rate) - begin);
    const part = new AudioBuffer({ length, numberOfChannels: buffer.numberOfChannels, sampleRate: rate });
    const fade = Math.min(Math.round(FADE * rate), Math.floor(length / 2));
    for (let channel = 0; channel < buffer.numberOfChannels; channel += 1) {
      const samples = buffer.getChannelData(channel).slice(begin, begin + length);
      for (let at = 0; at < fade && at < samples.length; at += 1) {
        if (begin > 0) samples[at] *= at / fade;
        samples[samples.length - 1 - at] *= at / fade;
      }
      part.copyToChannel(samples, channel);
    }
    return part;
  }

  #follow(times, begins, from, length, loop) {
    const step = () => {
      const late = this.#context.outputLatency || 0;
      const gone = this.#context.currentTime - late - begins;
      if (gone >= 0) this.#tell(barAt(times, from + (loop ? gone % length : gone)));
      this.#frame = requestAnimationFrame(step);
    };
    this.#frame = requestAnimationFrame(step);
  }

  #tell(bar) {
    if (bar === this.bar) return;
    this.bar = bar;
    this.dispatchEvent(new Event("bar"));
  }

  #hush() {
    cancelAnimationFrame(this.#frame);
    const sounding = this.#sources;
    this.#sources = [];
    for (const source of sounding) {
      source.stop();
      source.disconnect();
    }
  }
}

function barLength({ bars, seconds, begins }) {
  return bars.length > 2 ? bars[2].seconds - bars[1].seconds : seconds - begins;
}

/** Where there is nothing to sound from, a browser may wait for it without end. */
function soon(awake) {
  return Promise.race([awake, new Promise((_, refuse) => {
    setTimeout(() => refuse(new Error("no sound in time")), 4000);
  })]);
}

function sentence(error) {
  if (error.sentence) return error.message;
  if (error.name === "EncodingError")
    return "The browser could not read the sound; try another tempo, or load the page anew.";
  return "The browser could not play the sound: is a loudspeaker or headphones connected? Then try again.";
}
