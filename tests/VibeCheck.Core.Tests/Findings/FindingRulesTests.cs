using VibeCheck.Core.Findings;

namespace VibeCheck.Core.Tests.Findings;

public sealed class FindingRulesTests
{
    // The codes that scripts may rely on.
    private static readonly string[] s_promised =
    [
        "order-1-stands-out",
        "blade-pass-stands-out",
        "looseness",
        "bearing-tone",
        "steady-line",
        "broadband",
        "resonance-near-order",
        "soft-imu-mount",
        "hard-knocks",
        "yaw-trim",
        "centre-of-gravity",
        "carries-more",
        "hot-motor",
        "hot-esc",
        "draws-more",
        "at-full-command",
        "speed-drops",
        "clipping",
        "slow-logger",
        "filtered-log",
        "loose-telemetry",
        "sagging-battery",
    ];

    [Fact]
    public void Every_promised_code_has_one_line() =>
        Assert.Equal(s_promised.Order(StringComparer.Ordinal), FindingRules.All.Select(r => r.Code).Order(StringComparer.Ordinal));

    [Fact]
    public void Degrees_rise_and_explained_codes_exist()
    {
        foreach (FindingRule rule in FindingRules.All)
        {
            Assert.NotEmpty(rule.Limits);
            Assert.NotEmpty(rule.Causes);
            Assert.All(rule.Explains, code => Assert.Contains(code, s_promised));
            Assert.DoesNotContain(rule.Code, rule.Explains);
            foreach (RuleLimit limit in rule.Limits)
            {
                double[] given = [.. new[] { limit.Note, limit.Look, limit.Act }.OfType<double>()];
                Assert.NotEmpty(given);
                Assert.Equal(given.Order(), given);
            }
        }
    }
}
