//! Conditions and rules: what follows from answers and facts, as the judge draws it.

use super::parts::{LimitTerms, SmtWriting, Three, ValuedTerm, taped_term};
use super::term::{all, any, at_least, at_most, equal, no, number, so};
use crate::content::{AFTER_LIMITS, AfterId, Finding, Guard, Limit, Promise, VERDICT_NAME, Verdict};
use crate::flow::{Clause, Condition, Slot, Test};
use crate::names::QuestionId;
use crate::site::{FACTS, FactId};
use crate::wall::Sense;

impl SmtWriting<'_> {
    /// All that follows from answers and facts.
    pub(super) fn follow(&mut self) {
        self.define();
        self.limits();
        self.findings();
        self.settle();
        self.tell();
    }

    pub(super) fn condition(&mut self, condition: &Condition) -> Three {
        let three = self.clause(&condition.clause());
        Three {
            yes: self.script.short(three.yes),
            no: self.script.short(three.no),
            tape: self.script.short(three.tape),
        }
    }

    fn clause(&mut self, clause: &Clause) -> Three {
        match clause {
            Clause::Is(slot, test) => self.test(*slot, *test),
            Clause::Not(inner) => {
                let Three { yes, no, tape } = self.clause(inner);
                Three { yes: no, no: yes, tape }
            }
            Clause::All(parts) | Clause::Any(parts) => {
                let every = matches!(clause, Clause::All(_));
                let parts: Vec<Three> = parts
                    .iter()
                    .map(|part| {
                        let part = self.clause(part);
                        Three {
                            yes: self.script.short(part.yes),
                            no: self.script.short(part.no),
                            tape: self.script.short(part.tape),
                        }
                    })
                    .collect();
                let yes = parts.iter().map(|part| part.yes.clone());
                let no = parts.iter().map(|part| part.no.clone());
                // every part that is open is so by the tape
                let tape = all(parts.iter().map(|part| so(&SmtWriting::unknown(part), &part.tape)));
                if every {
                    Three { yes: all(yes), no: any(no), tape }
                } else {
                    Three { yes: any(yes), no: all(no), tape }
                }
            }
        }
    }

    fn test(&self, slot: Slot, test: Test) -> Three {
        let at = usize::from(slot);
        let nothing = || "false".to_owned();
        let Some(value) = self.values.get(at) else { return Three { yes: nothing(), no: nothing(), tape: nothing() } };
        let tape = self.tapes[at].clone();
        let (known, absent) = match value {
            ValuedTerm::Chosen { known, absent, .. } | ValuedTerm::Counted { known, absent, .. } => {
                (known.clone(), absent.clone())
            }
        };
        let (yes, fails) = match (value, test) {
            (_, Test::Known(true)) => return Three { yes: known.clone(), no: no(&known), tape },
            (_, Test::Known(false)) => return Three { yes: no(&known), no: known, tape },
            (ValuedTerm::Chosen { is, .. }, Test::Any(bits)) => {
                let some = any(is.iter().enumerate().filter(|(i, _)| bits & (1 << i) != 0).map(|(_, is)| is.clone()));
                (some.clone(), no(&some))
            }
            (ValuedTerm::Counted { low, high, .. }, Test::Below(n)) => (less(high, n), at_least(low, n)),
            (ValuedTerm::Counted { low, high, .. }, Test::AtMost(n)) => (at_most(high, n), more(low, n)),
            (ValuedTerm::Counted { low, high, .. }, Test::Above(n)) => (more(low, n), at_most(high, n)),
            (ValuedTerm::Counted { low, high, .. }, Test::AtLeast(n)) => (at_least(low, n), less(high, n)),
            _ => (nothing(), nothing()),
        };
        Three { yes: all([known.clone(), yes]), no: any([absent, all([known, fails])]), tape }
    }

    /// Unknown, and only the tape leaves it open.
    pub(super) fn only_tape(of: &Three) -> String {
        all([SmtWriting::unknown(of), of.tape.clone()])
    }

    /// Facts that the content defines.
    fn define(&mut self) {
        for defined in &self.content.defined {
            let three = self.condition(&defined.when);
            let yes = self.script.define(&format!("{}: holds", defined.name), &three.yes);
            let no = self.script.define(&format!("{}: does not", defined.name), &three.no);
            let three = Three { yes: yes.clone(), no: no.clone(), tape: three.tape };
            self.values.push(ValuedTerm::Chosen {
                known: any([yes.clone(), no.clone()]),
                absent: "false".to_owned(),
                is: vec![no, yes],
            });
            // a defined fact is open by the tape where its condition is
            let tape = SmtWriting::only_tape(&three);
            let tape = self.script.short(tape);
            self.tapes.push(tape);
            self.rules.defined.push(three);
        }
    }

    fn limits(&mut self) {
        let content = self.content;
        for limit in &content.limits {
            let held = self.limit(limit);
            self.values.push(ValuedTerm::Chosen {
                known: "true".to_owned(),
                absent: "false".to_owned(),
                is: held.status.to_vec(),
            });
            self.tapes.push("false".to_owned());
            self.rules.limits.push(held);
        }
        for after in AFTER_LIMITS {
            let name = content.vocabulary.name(u16::try_from(self.values.len()).unwrap_or(u16::MAX)).text.clone();
            let value = self.ranged(&name);
            if after.id == AfterId::LimitsFailed
                && let ValuedTerm::Counted { known, low, high, .. } = &value
            {
                let carry = content.limits.iter().zip(&self.rules.limits).filter(|(limit, _)| limit.verdict.is_some());
                let some = any(carry.map(|(_, held)| held.breaks.yes.clone()));
                let some = self.script.short(some);
                self.script.assert(known);
                for end in [low, high] {
                    self.script.assert(&at_least(end, 0));
                    // counted in thousandths
                    self.script.assert(&equal(&at_least(end, 1), &some));
                    self.script.assert(&equal(&at_least(end, 1000), &some));
                }
            }
            self.values.push(value);
            self.tapes.push("false".to_owned());
        }
    }

    /// Answered with one of these choices, whether it is shown or not.
    fn given(&self, id: QuestionId, bits: i64) -> String {
        let posed = &self.questions[self.content.catalog.names.at(id)];
        let such = posed.is.iter().enumerate().filter(|(i, _)| bits & (1 << i) != 0).map(|(_, is)| is.clone());
        all([no(&posed.not_sure), any(such)])
    }

    fn limit(&mut self, limit: &Limit) -> LimitTerms {
        let here = if limit.regions == 0 { "true".to_owned() } else { self.given(QuestionId::Region, limit.regions) };
        let when = self.condition(&limit.when);
        let close_counts = limit.verdict == Some(Verdict::ChangePlan);
        let taped = if close_counts { SmtWriting::only_tape(&when) } else { "false".to_owned() };
        let applies = all([here.clone(), any([when.yes.clone(), taped])]);
        let off = any([no(&here), when.no]);
        let measure = self.values.get(usize::from(limit.measure)).cloned();
        let Some(ValuedTerm::Counted { known, absent, low, high }) = measure else {
            let nothing = || "false".to_owned();
            let status = [nothing(), nothing(), nothing(), nothing(), "true".to_owned()];
            return LimitTerms {
                applies: nothing(),
                status,
                breaks: Three { yes: nothing(), no: "true".to_owned(), tape: nothing() },
            };
        };
        let applies = self.script.define(&format!("limit {}: applies", limit.id), &all([applies, no(&absent)]));
        let off = self.script.define(&format!("limit {}: off", limit.id), &any([off, absent]));
        let (meets, misses) = match limit.sense {
            Sense::AtLeast => (at_least(&low, limit.bound), less(&high, limit.bound)),
            Sense::AtMost => (at_most(&high, limit.bound), more(&low, limit.bound)),
        };
        let at = usize::from(limit.measure);
        let slots = self.content.slots;
        let is_fact = (slots.facts..slots.defined).contains(&at);
        let (mut near, mut as_read) = ("false".to_owned(), "false".to_owned());
        if at == self.content.fact_slot(FactId::FallAway) {
            // how much a fall that misses may be off hangs on the depth that it was read over
            as_read = self.script.free(&format!("limit {}: met as read", limit.id), "Bool");
            near = self.script.free(&format!("limit {}: near", limit.id), "Bool");
            self.script.assert(&no(&all([as_read.clone(), near.clone()])));
        }
        let on = all([no(&off), known]);
        let passes = all([on.clone(), any([meets.clone(), all([misses.clone(), as_read.clone()])])]);
        let fails = all([on.clone(), misses.clone(), no(&as_read), no(&near)]);
        let level = if is_fact { taped_term(measured(at - slots.facts)) } else { "true".to_owned() };
        let between = all([no(&meets), no(&misses), level]);
        let close = all([on, any([between, all([misses, near])])]);
        let [passes, close, fails] = [("passes", passes), ("close", close), ("fails", fails)]
            .map(|(word, term)| self.script.define(&format!("limit {}: {word}", limit.id), &term));
        let unknown = all([no(&off), no(&passes), no(&close), no(&fails)]);
        let off_by = if close_counts { any([fails.clone(), close.clone()]) } else { fails.clone() };
        let breaks = Three {
            yes: self.script.define(&format!("limit {}: broken", limit.id), &all([applies.clone(), off_by])),
            no: self.script.define(&format!("limit {}: kept", limit.id), &any([off.clone(), passes.clone()])),
            tape: "false".to_owned(),
        };
        LimitTerms { applies, status: [passes, close, fails, unknown, off], breaks }
    }

    fn findings(&mut self) {
        let content = self.content;
        for finding in &content.findings {
            let mut three = self.condition(&finding.when);
            if finding.verdict.is_none_or(|verdict| verdict <= Verdict::ChangePlan) {
                three.yes = any([three.yes.clone(), SmtWriting::only_tape(&three)]);
            }
            self.rules.findings.push(three);
        }
        let told: Vec<&Three> = content
            .findings
            .iter()
            .zip(&self.rules.findings)
            .filter(|(finding, _)| finding.tells_held && finding.guard.is_none())
            .map(|(_, three)| three)
            .collect();
        let (told, untold) = (any(told.iter().map(|t| t.yes.clone())), all(told.iter().map(|t| t.no.clone())));
        for (at, finding) in content.findings.iter().enumerate() {
            if let Some(guard) = finding.guard {
                self.rules.findings[at] = self.guard(guard, &told, &untold);
            }
            let Three { yes, no, tape } = self.rules.findings[at].clone();
            self.rules.findings[at] = self.named(finding, &yes, &no, tape);
        }
    }

    fn named(&mut self, finding: &Finding, yes: &str, no: &str, tape: String) -> Three {
        Three {
            yes: self.script.define(&format!("finding {}: holds", finding.id), yes),
            no: self.script.define(&format!("finding {}: does not", finding.id), no),
            tape,
        }
    }

    fn guard(&self, guard: Guard, told: &str, untold: &str) -> Three {
        let tape = "false".to_owned();
        let plain = |yes: String| Three { no: no(&yes), yes, tape: "false".to_owned() };
        match guard {
            Guard::UntoldTrace => Three {
                yes: all([self.held.0.clone(), untold.to_owned()]),
                no: any([self.held.1.clone(), told.to_owned()]),
                tape,
            },
            Guard::NoLimits => plain(no(&self.given(QuestionId::Region, self.content.regions_with_limits))),
            Guard::NoRules => {
                let shown = self.questions[self.content.catalog.names.at(QuestionId::Cladding)].shown.clone();
                plain(all([shown, self.given(QuestionId::Cladding, self.content.claddings_without_rules)]))
            }
        }
    }

    /// The verdict: the worst that holds, and "find out first" at least where a rule with a verdict is open.
    fn settle(&mut self) {
        let content = self.content;
        let limits =
            content.limits.iter().zip(&self.rules.limits).filter_map(|(l, h)| Some((h.breaks.clone(), l.verdict?)));
        let findings =
            content.findings.iter().zip(&self.rules.findings).filter_map(|(f, t)| Some((t.clone(), f.verdict?)));
        let rules: Vec<(Three, Verdict)> = limits.chain(findings).collect();
        let holds = |of: Verdict| any(rules.iter().filter(|(_, v)| *v == of).map(|(three, _)| three.yes.clone()));
        let open =
            any(rules.iter().filter(|(_, v)| *v > Verdict::GoAhead).map(|(three, _)| SmtWriting::unknown(three)));
        // the rank of the verdict as a number
        let mut held = number(Verdict::GoAhead as i64);
        for verdict in Verdict::ALL.into_iter().filter(|v| *v > Verdict::GoAhead) {
            held = format!("(ite {} {} {held})", holds(verdict), number(verdict as i64));
        }
        self.script.line(&format!("(define-fun |rank that holds| () Int {held})"));
        let find = number(Verdict::FindOutFirst as i64);
        self.script.line(&format!(
            "(define-fun |rank| () Int (ite (and {open} (< |rank that holds| {find})) {find} |rank that holds|))"
        ));
        for verdict in Verdict::ALL {
            let term =
                self.script.define(&format!("verdict {}", verdict.word()), &equal("|rank|", &number(verdict as i64)));
            self.rules.verdict.push(term);
        }
    }

    /// The names that only promises use.
    fn tell(&mut self) {
        let content = self.content;
        while self.values.len() < content.vocabulary.len() {
            let name = content.vocabulary.name(u16::try_from(self.values.len()).unwrap_or(u16::MAX)).text.clone();
            let (known, is) =
                if name == VERDICT_NAME { ("true".to_owned(), self.rules.verdict.clone()) } else { self.told(&name) };
            self.values.push(ValuedTerm::Chosen { known, absent: "false".to_owned(), is });
            self.tapes.push("false".to_owned());
        }
    }

    fn told(&mut self, name: &str) -> (String, Vec<String>) {
        let content = self.content;
        let (kind, id) = name.split_once('.').unwrap_or((name, ""));
        let at = content.findings.iter().position(|finding| kind == "finding" && finding.id == id);
        if let Some(three) = at.map(|at| &self.rules.findings[at]) {
            return (any([three.yes.clone(), three.no.clone()]), vec![three.no.clone(), three.yes.clone()]);
        }
        let when = match kind {
            "task" => content.tasks.iter().find(|row| row.id == id).map(|row| &row.when),
            "trade" => content.calls.iter().find(|row| row.id == id).map(|row| &row.when),
            "ask" => content.asks.iter().find(|row| row.id == id).map(|row| &row.when),
            "caution" => content.cautions.iter().find(|row| row.id == id).map(|row| &row.when),
            _ => None,
        };
        let Some(when) = when else { return ("false".to_owned(), vec!["false".to_owned(); 2]) };
        let printed = self.printed(when, kind == "caution");
        ("true".to_owned(), vec![no(&printed), printed])
    }

    /// Whether advice with this condition is printed.
    pub(super) fn printed(&mut self, when: &Condition, if_possible: bool) -> String {
        let three = self.condition(when);
        let printed = if if_possible { no(&three.no) } else { any([three.yes.clone(), SmtWriting::only_tape(&three)]) };
        self.script.short(printed)
    }

    /// Whether a promise is broken.
    pub(super) fn broken(&mut self, promise: &Promise) -> String {
        let owed = self.condition(&promise.when);
        let verdicts = Verdict::ALL.into_iter().filter(|verdict| !promise.allows(*verdict));
        let wrong = any(verdicts.map(|verdict| self.rules.verdict[verdict as usize].clone()));
        let find = self.rules.verdict[Verdict::FindOutFirst as usize].clone();
        let may = if promise.or_unknown { all([SmtWriting::unknown(&owed), no(&find)]) } else { "false".to_owned() };
        let mut ways = vec![all([any([owed.yes.clone(), may]), wrong])];
        // what is told is promised once the questions are answered that come before all others
        let first = self.content.flow.questions.iter().zip(&self.questions).filter(|(question, _)| question.first);
        let begun = all(first.map(|(_, posed)| no(&posed.not_sure)));
        for part in [&promise.holds, &promise.told_by].into_iter().flatten() {
            let holds = self.condition(part).yes;
            ways.push(all([owed.yes.clone(), begun.clone(), no(&holds)]));
        }
        let rows: Vec<String> = promise.not_together.iter().map(|row| self.condition(row).yes).collect();
        if rows.len() > 1 {
            let count: Vec<String> = rows.iter().map(|row| format!("(ite {row} 1 0)")).collect();
            ways.push(all([owed.yes, begun, format!("(> (+ {}) 1)", count.join(" "))]));
        }
        any(ways)
    }
}

fn less(term: &str, n: i64) -> String {
    no(&at_least(term, n))
}

fn more(term: &str, n: i64) -> String {
    no(&at_most(term, n))
}

/// The fact whose own numbers a fact has.
fn measured(at: usize) -> FactId {
    super::turned_of(FACTS[at].id).unwrap_or(FACTS[at].id)
}
