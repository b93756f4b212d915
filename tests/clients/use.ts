// What a web page would write with the types that are made from the document; the compiler is the test.
import type { components, operations, paths } from "./api";

type Work = components["schemas"]["Work"];
type Evaluation = components["schemas"]["Evaluation"];
type Problem = components["schemas"]["Problem"];
type Line = components["schemas"]["BatchAnswer"] | components["schemas"]["BatchProblem"];

const work: Work = {
  ref: "tide-7",
  kind: "stretched-canvas",
  width_mm: "63 in",
  height_mm: 900,
  canvas: { corner_gaps_mm: [0, 0, "6 ± 1", 0], keyed: true, billow_mm: null },
};
const asked: operations["evaluateWorks"]["requestBody"]["content"]["application/json"] = { works: [work], stage: "offer" };
const query: NonNullable<operations["listEvaluations"]["parameters"]["query"]> = { outcome: "repair", limit: 50 };
const path: keyof paths = "/evaluations/{id}/changes";

// @ts-expect-error a kind that does not exist is no kind
const wrong: Work = { ref: "a", kind: "hologram" };
// @ts-expect-error a work needs its reference
const nameless: Work = { title: "x" };
// @ts-expect-error a fact that does not exist
const stray: Work = { ref: "a", colour: "red" };

export function told(answer: Evaluation): string[] {
  return answer.works.flatMap((one) =>
    one.findings.filter((finding) => finding.state === "unmet").map((finding) => `${one.ref}: ${finding.artist} ${finding.remedy ?? ""}`),
  );
}

export function faults(problem: Problem): Record<string, string> {
  return Object.fromEntries((problem.errors ?? []).map((fault) => [fault.pointer, fault.message]));
}

export function line(one: Line): string {
  return "evaluation" in one ? one.evaluation.outcome : one.problem.title;
}

export const used = [asked, query, path, wrong, nameless, stray] as const;
