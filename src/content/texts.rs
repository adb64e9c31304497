//! All texts of the content with their keys, for translations.

use super::content::Content;
use crate::pack::Text;

impl Content {
    /// Visits every text with its key, in a fixed order.
    #[allow(clippy::too_many_lines)] // one line a text
    pub fn each_text(&mut self, visit: &mut dyn FnMut(&str, &mut Text)) {
        for section in &mut self.flow.sections {
            visit(&format!("section.{}.title", section.id), &mut section.title);
            if let Some(intro) = &mut section.intro {
                visit(&format!("section.{}.intro", section.id), intro);
            }
            if let Some(sketch) = &mut section.sketch {
                visit(&format!("section.{}.sketch", section.id), sketch);
            }
        }
        for wording in &mut self.flow.wordings {
            let name = &wording.name;
            let general = std::iter::once((String::new(), &mut wording.general));
            let cases = wording.cases.iter_mut().map(|case| (format!(".{}", case.id), &mut case.called));
            for (case, called) in general.chain(cases) {
                visit(&format!("asked.{name}{case}.say"), &mut called.say);
                for (part, text) in [("short", &mut called.short), ("help", &mut called.help)] {
                    if let Some(text) = text {
                        visit(&format!("asked.{name}{case}.{part}"), text);
                    }
                }
            }
        }
        for q in &mut self.flow.questions {
            let key = format!("question.{}", q.id);
            for (name, text) in [
                ("short", &mut q.short),
                ("ask", &mut q.ask),
                ("why", &mut q.why),
                ("how", &mut q.how),
                ("with", &mut q.effort.with),
            ] {
                visit(&format!("{key}.{name}"), text);
            }
            let built = [("ask", &mut q.built.ask), ("why", &mut q.built.why), ("how", &mut q.built.how)];
            for (name, text) in built {
                if let Some(text) = text {
                    visit(&format!("{key}.{name}_built"), text);
                }
            }
            for choice in &mut q.choices {
                visit(&format!("{key}.choice.{}", choice.id), &mut choice.label);
                if let Some(hint) = &mut choice.hint {
                    visit(&format!("{key}.choice.{}.hint", choice.id), hint);
                }
                if let Some(hint) = &mut choice.hint_built {
                    visit(&format!("{key}.choice.{}.hint_built", choice.id), hint);
                }
                if !choice.also.is_empty() {
                    visit(&format!("{key}.choice.{}.also", choice.id), &mut choice.also);
                }
            }
        }
        for r in &mut self.limits {
            visit(&format!("limit.{}.what", r.id), &mut r.what);
            visit(&format!("limit.{}.because", r.id), &mut r.because);
        }
        for r in &mut self.joint_tasks {
            visit(&format!("joint.{}.what", r.id), &mut r.what);
            visit(&format!("joint.{}.check", r.id), &mut r.check);
        }
        for r in &mut self.activities {
            visit(&format!("activity.{}.what", r.id), &mut r.what);
        }
        for r in &mut self.weather_needs {
            visit(&format!("weather.{}.what", r.id), &mut r.what);
        }
        for r in &mut self.quantities {
            visit(&format!("quantity.{}.what", r.id), &mut r.what);
        }
        for r in &mut self.uncounted {
            visit(&format!("not_counted.{}.what", r.id), &mut r.what);
        }
        for r in &mut self.plan_figures {
            visit(&format!("figure.{}.what", r.id), &mut r.what);
        }
        for r in &mut self.photos {
            visit(&format!("photo.{}.what", r.id), &mut r.what);
            visit(&format!("photo.{}.from", r.id), &mut r.from);
        }
        for r in &mut self.suspects {
            visit(&format!("path.{}.what", r.id), &mut r.what);
            visit(&format!("path.{}.look", r.id), &mut r.look);
            visit(&format!("path.{}.wet", r.id), &mut r.wet);
            for (name, list) in [("for", &mut r.speaks_for), ("against", &mut r.speaks_against)] {
                for (i, evidence) in list.iter_mut().enumerate() {
                    visit(&format!("path.{}.{name}.{}", r.id, i + 1), &mut evidence.say);
                }
            }
        }
        for (kind, list) in [("scope", &mut self.scope), ("remove", &mut self.remove)] {
            for r in list {
                visit(&format!("{kind}.{}.say", r.id), &mut r.say);
            }
        }
        for r in &mut self.loads {
            visit(&format!("load.{}.what", r.id), &mut r.what);
        }
        for r in &mut self.runoff {
            visit(&format!("runoff.{}.what", r.id), &mut r.what);
        }
        for r in &mut self.coursing {
            visit(&format!("coursing.{}.what", r.id), &mut r.what);
        }
        for r in &mut self.layers {
            visit(&format!("layer.{}.what", r.id), &mut r.what);
        }
        for r in &mut self.findings {
            let key = format!("finding.{}", r.id);
            visit(&format!("{key}.title"), &mut r.title);
            visit(&format!("{key}.say"), &mut r.say);
            visit(&format!("{key}.do"), &mut r.todo);
        }
        for r in &mut self.phases {
            visit(&format!("phase.{}.title", r.id), &mut r.title);
        }
        for r in &mut self.tasks {
            visit(&format!("task.{}.do", r.id), &mut r.todo);
            visit(&format!("task.{}.because", r.id), &mut r.because);
        }
        for r in &mut self.asks {
            let key = format!("contractor.{}", r.id);
            visit(&format!("{key}.ask"), &mut r.ask);
            visit(&format!("{key}.why"), &mut r.why);
            visit(&format!("{key}.follow_up"), &mut r.follow_up);
            for (name, list) in [("good", &mut r.good), ("weak", &mut r.weak)] {
                for (i, text) in list.iter_mut().enumerate() {
                    visit(&format!("{key}.{name}.{}", i + 1), text);
                }
            }
        }
        for r in &mut self.calls {
            let key = format!("trade.{}", r.id);
            visit(&format!("{key}.point"), &mut r.point);
            visit(&format!("{key}.say"), &mut r.say);
            visit(&format!("{key}.because"), &mut r.because);
        }
        for r in &mut self.cautions {
            visit(&format!("caution.{}.say", r.id), &mut r.say);
        }
        for r in &mut self.materials {
            visit(&format!("material.{}.what", r.id), &mut r.what);
            visit(&format!("material.{}.limit", r.id), &mut r.limit);
        }
        for (key, text) in &mut self.words {
            visit(&format!("word.{key}"), text);
        }
    }
}
