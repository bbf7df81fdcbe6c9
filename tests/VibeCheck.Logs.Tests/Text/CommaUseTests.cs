using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Forms;
using VibeCheck.Logs.Inputs;

namespace VibeCheck.Logs.Tests.Text;

/// <summary>3,245 may be 3.245 or 3245: decided from the whole log, or asked.</summary>
public sealed class CommaUseTests : IDisposable
{
    private readonly MadeLog _log = new();

    public void Dispose() => _log.Dispose();

    [Theory]
    [InlineData("t|rpm1|rpm2", "0|3,245|3,260;20|3,250|3,270", false)] // 3 rpm is too slow to fly
    [InlineData("t|rpm1|amps", "0|3,245|12,5;20|3,250|13,1", true)] // 12,5 cannot have a thousands mark
    [InlineData("t|n1 [krpm]|n2 [krpm]", "0|3,245|3,260;20|3,250|3,270", null)]
    [InlineData("t|n1 [krpm]|n2 [krpm]", "0|3,245|0,260;20|3,250|3,270", true)]
    [InlineData("t|esc1_temp", "120|24,500;220|24,600", true)] // the alternative is 24500 °C
    [InlineData("t|ch1|ch2", "0|1,234,567|3,260;20|1,234,570|3,270", false)]
    [InlineData("t|ch1|ch2", "1000|1,234|3,260;1020|1,235|3,270", true)] // 1000 is written without a thousands mark
    [InlineData("t|ch1|ch2", "0|1,234|3,260;20|1,235|3,270", null)]
    [InlineData("t|ch1", "0|17;20|18", true)]
    public void Commas_are_decided_by_the_whole_log(string headers, string rows, bool? isDecimal) =>
        Assert.Equal(isDecimal, CommaUse.Of(headers.Split('|'), [.. rows.Split(';').Select(r => r.Split('|'))]).IsDecimal);

    [Fact]
    public void Speeds_with_thousands_marks_are_read_and_reported()
    {
        string path = _log.Save("esc.csv", "t;rpm1;rpm2\n", 300, i => $"{i * 20};3,{200 + i % 50};3,{300 + i % 40}");
        FileRecord reading = MadeLog.Look(path);
        Assert.Contains("commas between thousands", reading.Form);
        Assert.Equal(3200, reading.Columns[1].Min!.Value, 0.5);
        Assert.Equal(0, reading.RowsUnusable);
    }

    [Fact]
    public void Ambiguous_commas_are_refused_with_both_readings_and_read_with_a_columns_file()
    {
        string path = _log.Save("esc.csv", "t;n1 [krpm];n2 [krpm]\n", 300, i => $"{i * 3};3,{200 + i % 50};3,{300 + i % 40}");
        InputFault fault = Assert.Throws<InputFaultException>(() => MadeLog.Look(path)).Fault;
        Assert.Equal((2, 2), (fault.Line, fault.Column));
        Assert.StartsWith("'3,200' under 'n1 [krpm]' may be 3.200 or 3200", fault.Problem, StringComparison.Ordinal);

        string file = _log.Save("columns.toml", "decimal_mark = \",\"\n", 0, _ => $"");
        FileRecord reading = MadeLog.Look(path, ReadOptions.Default with { Columns = ColumnsFile.Read(file) });
        Assert.Contains("decimal comma", reading.Form);
        Assert.Equal(3200, reading.Columns[1].Min!.Value, 0.5);
    }
}
