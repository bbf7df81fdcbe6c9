using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Tests.Text;

public sealed class FindingRuleTextTests
{
    // VIBECHECK_APPROVE=1 writes the table of the page again.
    [Fact]
    public void The_page_shows_the_table_that_findings_are_made_from()
    {
        const string From = "<!-- from here on: the table of FindingRules -->\n",
            To = "<!-- to here -->";
        string path = Path.Combine(Repository.Root, "docs", "methods", "findings.md");
        string page = File.ReadAllText(path).ReplaceLineEndings("\n");
        int from = page.IndexOf(From, StringComparison.Ordinal) + From.Length,
            to = page.IndexOf(To, StringComparison.Ordinal);
        if (Environment.GetEnvironmentVariable("VIBECHECK_APPROVE") == "1")
        {
            File.WriteAllText(path, page[..from] + FindingRuleText.Table() + page[to..]);
            return;
        }

        Assert.Equal(FindingRuleText.Table(), page[from..to]);
    }

    [Fact]
    public void Every_cause_and_check_has_its_own_text()
    {
        Assert.Distinct(Enum.GetValues<LikelyCause>().Select(FindingRuleText.Of));
        Assert.Distinct(Enum.GetValues<CheapestCheck>().Select(FindingRuleText.Of));
        Assert.All(FindingRules.All, r => Assert.NotEqual(r.Code, FindingRuleText.Name(r.Code)));
    }

    [Fact]
    public void Three_motors_that_stand_out_have_one_plan()
    {
        PropellerSwap[] plan = [new(1, "M1", "M5"), new(1, "M2", "M4"), new(2, "M3", "M5")];
        Finding[] findings =
        [
            .. plan.Select(p => new Finding(
                "order-1-stands-out",
                p.Suspect == "M1" ? Severity.Act : Severity.Look,
                p.Suspect,
                new OrderOneStandsOut(p.Suspect, 2, new Interval(1.8, 2.2), 0.4, null, null, p.Calm, plan, false)
            )),
        ];
        string check = Assert.Single(FindingGroup.Of(findings).SelectMany(g => g.NextChecks));
        Assert.Contains("swap the propellers of M1 and M5", check, StringComparison.Ordinal);
        Assert.Contains("after that flight swap the propellers of M3 and M5", check, StringComparison.Ordinal);
        Assert.Contains("bench without a propeller", check, StringComparison.Ordinal);
        Assert.DoesNotContain("M1 and M2", check, StringComparison.Ordinal);
    }

    [Fact]
    public void A_consequence_is_reported_only_with_its_root()
    {
        Finding root = new("draws-more", Severity.Act, "M3", new DrawsMore("M3", 1.4, new Interval(1.3, 1.5), 9, 4000))
        {
            Follows = [new("hot-motor", "M3")],
        };
        Finding heat = new("hot-motor", Severity.Act, "M3", new HotterThanLoad("M3", false, 50, new Interval(48, 52), 30))
        {
            Root = root.Name,
        };
        FindingGroup group = Assert.Single(FindingGroup.Of([root, heat]));
        Assert.Contains("It goes with: the motor temperature of M3.", Assert.Single(group.Items).Text, StringComparison.Ordinal);
    }
}
