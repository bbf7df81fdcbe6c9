using System.Text;
using System.Text.Json;
using VibeCheck.Core.Statistics;
using VibeCheck.Reports.Json;
using VibeCheck.Reports.Tests.Text;

namespace VibeCheck.Reports.Tests.Json;

/// <summary>The field <c>reason</c> of every cause. Scripts use its code and the names of its numbers.</summary>
public sealed class CauseTests
{
    [Fact]
    public void Every_cause_is_written_with_its_code_and_its_numbers()
    {
        var text = new StringBuilder();
        foreach (Type type in MadeCauses.Types)
        {
            text.Append(JsonSerializer.Serialize(MadeCauses.Of(type), ResultOptions.Default)).Append('\n');
        }

        Golden.Holds("causes", text.ToString());
    }

    [Fact]
    public void The_values_of_a_cause_are_its_numbers_without_its_code()
    {
        foreach (Type type in MadeCauses.Types)
        {
            Reason cause = MadeCauses.Of(type);
            using var whole = JsonDocument.Parse(JsonSerializer.Serialize(cause, ResultOptions.Default));
            using var values = JsonDocument.Parse(JsonSerializer.Serialize(new NumbersOf(cause), ResultOptions.Default));
            Assert.Equal(
                whole.RootElement.EnumerateObject().Skip(1).Select(p => p.ToString()),
                values.RootElement.EnumerateObject().Select(p => p.ToString())
            );
        }
    }
}
