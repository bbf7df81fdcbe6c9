using System.Reflection;
using System.Runtime.CompilerServices;
using VibeCheck.Core.Airframes;
using VibeCheck.Core.Tracks;
using VibeCheck.Logs.Airframes;
using VibeCheck.Logs.Columns;
using VibeCheck.Logs.Flights;
using VibeCheck.Logs.Tables;
using VibeCheck.Logs.Text;
using VibeCheck.Logs.Units;

namespace VibeCheck.Logs.Tests;

/// <summary>The stages of reading a log are immutable: no stage can change its input (docs/architecture.md).</summary>
public sealed class StageTests
{
    public static TheoryData<string> Stages =>
        [
            .. new[]
            {
                typeof(LogForm),
                typeof(PlannedColumn),
                typeof(ColumnPlan),
                typeof(LogRows),
                typeof(ColumnCount),
                typeof(RawTable),
                typeof(TimedTable),
                typeof(UnitDecision),
                typeof(ScaledTable),
                typeof(SparseColumn),
            }.Select(t => t.FullName!),
        ];

    [Theory]
    [MemberData(nameof(Stages))]
    public void No_property_of_a_stage_is_set_from_outside(string stage)
    {
        Type type = typeof(ColumnPlan).Assembly.GetType(stage)!;
        Assert.Empty(type.GetProperties(All).Where(IsSetLater).Select(p => p.Name));
        Assert.Empty(
            type.GetProperties(All).Where(p => p.PropertyType.Name.StartsWith("List`", StringComparison.Ordinal)).Select(p => p.Name)
        );
        Assert.Empty(type.GetFields(All).Where(f => !f.IsInitOnly && !f.IsPrivate).Select(f => f.Name));
    }

    // The columns of numbers are passed on, so that a long log is in memory only once; they can be taken only once.
    [Fact]
    public void A_column_is_taken_once()
    {
        var numbers = new ColumnNumbers(
            [
                [1, 2],
            ],
            [null]
        );
        Assert.Equal([1, 2], numbers.TakeDense(0));
        Assert.Throws<InvalidOperationException>(() => numbers.TakeDense(0));
        var inertial = new InertialColumns(
            [
                [1],
                [2],
                [3],
            ],
            null
        );
        inertial.Take();
        Assert.Throws<InvalidOperationException>(() => inertial.Take());
    }

    // The telemetry of two recorders is collected twice: to align their clocks, and for the flight. An omission is still reported.
    [Fact]
    public void A_motor_that_the_airframe_does_not_have_is_reported()
    {
        Airframe whole = AirframeFile.Read(Repository.Sample("reshim-hexa", "airframe.toml"));
        Airframe fewer = whole with { Motors = [.. whole.Motors.Where(m => m.Id != "M6")] };
        FlightFiles files = new(
            [Repository.Sample("reshim-hexa", "before-1", "imu.csv")],
            [Repository.Sample("reshim-hexa", "before-1", "esc.csv")]
        );
        Flight flight = FlightReader.Read(files, ReadOptions.Default, fewer, TestContext.Current.CancellationToken);
        Warning told = Assert.Single(flight.Input.Imu.Warnings, w => w.Code == "motors-unknown");
        Assert.Contains("M6_rpm", told.Text, StringComparison.Ordinal);
        Assert.DoesNotContain(flight.Motors, m => m.MotorId == "M6");
        Assert.Contains(
            flight.Input.Esc!.Columns,
            c => c.Header == "M6_rpm" && c.HowKnown!.Contains("no such motor", StringComparison.Ordinal)
        );
    }

    private const BindingFlags All = BindingFlags.Instance | BindingFlags.Public | BindingFlags.NonPublic | BindingFlags.DeclaredOnly;

    private static bool IsSetLater(PropertyInfo property) =>
        property.SetMethod is { } set && !set.ReturnParameter.GetRequiredCustomModifiers().Contains(typeof(IsExternalInit));
}
