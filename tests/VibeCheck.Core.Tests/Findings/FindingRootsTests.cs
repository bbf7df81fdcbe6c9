using VibeCheck.Core.Findings;
using VibeCheck.Core.Flights;

namespace VibeCheck.Core.Tests.Findings;

public sealed class FindingRootsTests
{
    [Fact]
    public void Heat_after_a_current_that_a_bearing_draws_is_one_fault()
    {
        IReadOnlyList<Finding> found = FindingRoots.Of([
            Of("hot-motor", "M3", Severity.Act, 3),
            Of("draws-more", "M3", Severity.Look, 1.2),
            Of("bearing-tone", "M3", Severity.Look, 2),
        ]);
        Finding root = Assert.Single(found, f => f.Root is null);
        Assert.Equal("bearing-tone", root.Code);
        Assert.Equal(Severity.Act, root.Severity);
        Assert.Equal([new FindingName("hot-motor", "M3"), new("draws-more", "M3")], root.Follows);
        Assert.Equal(root, found[0]);
    }

    [Fact]
    public void Heat_of_another_motor_is_a_separate_fault()
    {
        IReadOnlyList<Finding> found = FindingRoots.Of([
            Of("hot-motor", "M1", Severity.Act, 3),
            Of("draws-more", "M3", Severity.Look, 1.2),
        ]);
        Assert.All(found, f => Assert.Null(f.Root));
        Assert.Equal("hot-motor", found[0].Code);
    }

    [Fact]
    public void One_weak_propeller_explains_trim_and_balance_of_the_aircraft()
    {
        IReadOnlyList<Finding> found = FindingRoots.Of([
            Of("yaw-trim", null, Severity.Act, 4),
            Of("centre-of-gravity", null, Severity.Look, 2),
            Of("carries-more", "M2", Severity.Note, 1.1),
        ]);
        Assert.Equal("carries-more", found[0].Code);
        Assert.Equal(2, found[0].Follows.Count);
        Assert.Equal(Severity.Act, found[0].Severity);
    }

    // A mode amplifies the order at its frequency: a resonance under blade pass does not explain vibration once per turn.
    [Theory]
    [InlineData(1, false)]
    [InlineData(3, true)]
    public void A_resonance_explains_only_the_order_that_it_lies_under(int resonant, bool standsForItself)
    {
        IReadOnlyList<Finding> found = FindingRoots.Of([
            Of("resonance-near-order", null, Severity.Look, 1.4) with
            {
                Order = resonant,
            },
            Of("order-1-stands-out", "M1", Severity.Look, 1.2) with
            {
                Order = 1,
            },
        ]);
        Assert.Equal(standsForItself, found.Single(f => f.Motor == "M1").Root is null);
    }

    [Fact]
    public void A_damaged_propeller_explains_blade_pass_as_well_as_order_one()
    {
        IReadOnlyList<Finding> found = FindingRoots.Of([
            Of("order-1-stands-out", "M1", Severity.Look, 2) with
            {
                Order = 1,
            },
            Of("blade-pass-stands-out", "M1", Severity.Look, 1.2) with
            {
                Order = 2,
            },
        ]);
        Assert.Equal("order-1-stands-out", Assert.Single(found, f => f.Root is null).Code);
    }

    [Fact]
    public void Two_of_one_name_are_one()
    {
        IReadOnlyList<Finding> found = FindingRoots.Of([
            Of("loose-telemetry", "M3", Severity.Look, 1.1),
            Of("loose-telemetry", "M3", Severity.Look, 4),
        ]);
        Assert.Equal(4, Assert.Single(found).Excess);
    }

    [Fact]
    public void Every_finding_is_a_root_or_listed_under_one()
    {
        // All codes at once, including those that explain others.
        Finding[] all = [.. FindingRules.All.Select((r, i) => Of(r.Code, i % 2 == 0 ? "M1" : null, Severity.Look, 1 + i))];
        IReadOnlyList<Finding> found = FindingRoots.Of(all);
        Assert.Equal(all.Length, found.Count);
        foreach (Finding finding in found.Where(f => f.Root is not null))
        {
            Finding root = found.Single(f => f.Name == finding.Root);
            Assert.Null(root.Root);
            Assert.Contains(finding.Name, root.Follows);
        }
    }

    private static Finding Of(string code, string? motor, Severity severity, double excess) =>
        new(code, severity, motor, new BatterySags(25, 22, 0.12)) { Excess = excess };
}
