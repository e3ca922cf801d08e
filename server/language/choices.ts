/** A few words of which one stands in a place: a method, a level, a basis. */

/** By the places where they stand, as these are written. */
export const CHOICES = {
  'verify by … · method = …': {
    analysis: 'Verified by calculation: closed by checks that pass and reach nothing provisional.',
    test: 'Verified by a test of a built article: closed by evidence.',
    inspection: 'Verified by looking at or measuring a built article: closed by evidence.',
    demonstration: 'Verified by doing it once: closed by evidence.',
    review_of_design:
      'Verified by reading the design; written `review of design` behind `verify by`. Closed by evidence.',
    review: 'Short for review of design.',
  },
  'level = … · verify by test on SN-1 …': {
    limit: 'The greatest load expected in service, without a factor.',
    qualification: 'Level of a test that qualifies the design, on an article that does not fly.',
    acceptance: 'Level of a test that accepts an article that flies.',
    protoflight: 'Level of a test that qualifies the design on an article that flies.',
    development: 'Level of a test made to learn, before the design is fixed.',
    flight: 'What the article sees in flight.',
    ultimate: 'A load that contains the ultimate factor already.',
  },
  'result = …': {
    pass: 'The evidence shows that the requirement is met.',
    fail: 'The evidence shows that it is not met: the requirement is failing until later evidence supersedes it.',
    inconclusive: 'The evidence shows neither; it closes nothing.',
  },
  'basis …': {
    A: 'At least 99 % of specimens lie above it, with 95 % confidence.',
    B: 'At least 90 % of specimens lie above it, with 95 % confidence.',
    S: 'A minimum that a specification promises.',
    typical: 'An average; no allowable.',
  },
  'class = …': {
    metal: 'Wrought, cast or forged metal.',
    printed: 'Additively manufactured material: its lots state when they expire.',
    composite: 'Fibre composite: its lots state when they expire.',
    bonded: 'Adhesive joint: its lots state when they expire.',
    ceramic: 'Glass and ceramic.',
    fastener: 'Bolts and other fasteners.',
  },
  'tested = …': {
    yes: 'The factors presume a strength test of the part.',
    no: 'The factors presume no test.',
  },
  'side = …': {
    load: 'The members multiply the load: factors of safety.',
    allowable: 'The members multiply the allowable: knock-downs, each at most 1.',
  },
  'disposition = …': {
    use_as_is: 'The article is used as it is: shown by a check at the as-built value or covered by a waiver.',
    rework: 'The article is brought back to its drawing: closed by evidence on it since.',
    repair: 'The article is mended in another way: closed by evidence on it since.',
    scrap: 'The article is not used.',
    return: 'The article goes back to its supplier.',
  },
  'severity code = …': {
    error: 'The finding is an error.',
    warning: 'The finding is a warning.',
    information: 'The finding is for information.',
    hint: 'The finding is a hint.',
    off: 'The finding is not told.',
  },
  'status of a requirement': {
    failing: 'A check fails, or evidence of a failure or a nonconformance stands.',
    undetermined: 'A check, or something it needs, has no result. Never a pass.',
    waived: 'It fails, within the terms of a waiver that is in force.',
    lapsed: 'Its evidence no longer counts.',
    unverified: 'Nothing fails, and a method is still open.',
    verified: 'Every check passes and every method is closed.',
  },
} as const satisfies Readonly<Record<string, Readonly<Record<string, string>>>>;

type Word<Place extends keyof typeof CHOICES> = keyof (typeof CHOICES)[Place];

export const METHODS = Object.keys(CHOICES['verify by … · method = …']) as Word<'verify by … · method = …'>[];
export const RESULTS = Object.keys(CHOICES['result = …']) as Word<'result = …'>[];
export const BASES = Object.keys(CHOICES['basis …']) as Word<'basis …'>[];
export const MATERIAL_CLASSES = Object.keys(CHOICES['class = …']) as Word<'class = …'>[];
export const SEVERITIES = Object.keys(CHOICES['severity code = …']) as Word<'severity code = …'>[];
/** Of a test; words only inside `verify by`. */
export const TEST_LEVELS = ['qualification', 'acceptance', 'protoflight', 'development', 'flight'] as const;
