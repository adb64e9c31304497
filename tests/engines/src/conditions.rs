/// The conditions of the content, with what has them: findings first.
fn conditions(content: &Content) -> Vec<(&'static str, &Condition)> {
    let findings = content.findings.iter().map(|row| ("finding", &row.when));
    let limits = content.limits.iter().map(|row| ("limit", &row.when));
    let defined = content.defined.iter().map(|row| ("fact", &row.when));
    let questions = content.flow.questions.iter().map(|row| ("question", &row.visible));
    findings.chain(limits).chain(defined).chain(questions).collect()
}
