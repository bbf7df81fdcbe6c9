using System.Collections.Concurrent;
using System.Numerics;

namespace VibeCheck.Core.Orders;

/// <summary>Buffers of one measurement, rented by one result after the other: touching new memory costs more than the sums that go
/// into it. Several threads may rent and return.</summary>
internal sealed class Workspace
{
    private readonly ConcurrentBag<Complex[]> _free;

    /// <summary>A workspace whose users may take all cores.</summary>
    internal Workspace()
        : this([], new ParallelOptions())
    {
    }

    private Workspace(ConcurrentBag<Complex[]> free, ParallelOptions threads) => (_free, Threads) = (free, threads);

    /// <summary>How many threads one calculation may use.</summary>
    internal ParallelOptions Threads { get; }

    /// <summary>Whether one calculation may use several threads.</summary>
    internal bool IsParallel => Threads.MaxDegreeOfParallelism != 1;

    /// <summary>The same buffers for calculations of one thread each, where several run at the same time.</summary>
    internal Workspace WithOneThread() => new(_free, new ParallelOptions { MaxDegreeOfParallelism = 1 });

    /// <summary>Buffers of some length. What stands in them is left over: write before reading.</summary>
    internal EnvelopeSet Rent(int count, int length)
    {
        var buffers = new Complex[count][];
        for (int i = 0; i < count; i++)
        {
            buffers[i] = _free.TryTake(out Complex[]? one) && one.Length == length ? one : GC.AllocateUninitializedArray<Complex>(length);
        }

        return new EnvelopeSet(this, buffers);
    }

    /// <summary>Takes back buffers that nobody will look at any more.</summary>
    internal void Return(Complex[][] buffers)
    {
        foreach (Complex[] buffer in buffers)
        {
            _free.Add(buffer);
        }
    }
}
