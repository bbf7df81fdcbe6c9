using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Text;

namespace VibeCheck.Reports.Tests.Text;

public sealed class ReasonTextTests
{
    public static TheoryData<string> Causes => [.. MadeCauses.Types.Select(t => t.FullName!)];

    // A cause without a text would end the program where it is shown.
    [Theory]
    [MemberData(nameof(Causes))]
    public void Every_cause_of_Core_has_a_text(string type)
    {
        Reason cause = MadeCauses.Of(typeof(Reason).Assembly.GetType(type)!);
        Assert.False(string.IsNullOrWhiteSpace(ReasonText.Of(cause)));
        Assert.DoesNotContain("{", ReasonText.Of(cause), StringComparison.Ordinal);
    }

    // Scripts distinguish causes by their codes.
    [Fact]
    public void No_two_causes_share_a_code() =>
        Assert.Empty(MadeCauses.Types.GroupBy(t => t.Name).Where(g => g.Count() > 1).Select(g => g.Key));
}
